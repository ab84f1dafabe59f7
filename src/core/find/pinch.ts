import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';

/** Pieces of the clay itself for one piece of another, from a crumb to a third. */
const PIECES = [32, 24, 16, 12, 8, 6, 5, 4, 3] as const;
/** Where each other clay is looked at first, as an index of `PIECES`. */
const FIRST_LOOKS = [2, 5, 8] as const;
/** Clays that are looked at in every amount. */
const CLOSER_LOOKS = 6;
/** A pinch is not worth taking where it brings the colour less closer than this, dE00. */
const WORTH = 0.5;

export interface Pinch {
  readonly parts: WholeParts;
  readonly dE00: number;
}

/**
 * The smallest pinch of one other clay that turns a clay into a colour.
 * Shape:   the clay, others by index, the colour of a mix, the colour wanted -> whole parts
 * Units:   `enough` in dE00
 * Method:  every other clay in three amounts, then the six best in all nine; of those close enough the one
 *          with the least of the other clay, else the closest
 * Returns: undefined where no pinch brings the colour closer by half a dE00
 */
export function smallestPinch(
  clay: number,
  others: readonly number[],
  colourOf: (parts: WholeParts) => Lab,
  wanted: Lab,
  enough: number,
): Pinch | undefined {
  const alone = deltaE2000(colourOf([{ clay, parts: 1 }]), wanted);
  const at = (other: number, pieces: number): Pinch => {
    const parts = [
      { clay, parts: pieces },
      { clay: other, parts: 1 },
    ];
    return { parts, dE00: deltaE2000(colourOf(parts), wanted) };
  };
  const looked = others
    .filter((other) => other !== clay)
    .map((other) => ({
      other,
      best: Math.min(...FIRST_LOOKS.map((i) => at(other, PIECES[i]).dE00)),
    }))
    .sort((a, b) => a.best - b.best)
    .slice(0, CLOSER_LOOKS);
  const all = looked.flatMap(({ other }) => PIECES.map((pieces) => at(other, pieces)));
  const worth = all.filter(({ dE00 }) => dE00 < alone - WORTH);
  const close = worth.filter(({ dE00 }) => dE00 <= enough);
  const byClose = (a: Pinch, b: Pinch) => a.dE00 - b.dE00;
  const bySmall = (a: Pinch, b: Pinch) => b.parts[0].parts - a.parts[0].parts || byClose(a, b);
  return close.length > 0 ? close.sort(bySmall)[0] : worth.sort(byClose)[0];
}
