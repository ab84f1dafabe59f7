import type { ColourWanted } from '../buying/recipes-within.ts';
import { type HueRange, joined, rangeOf, volumeOf } from '../colour/colour-range.ts';
import type { Lab } from '../colour/triples.ts';
import { closeColours } from '../piles/close-colours.ts';

/** What one addition brings: its range, and the places of the wanted colours that come close enough. */
export interface Brings {
  readonly range: HueRange;
  readonly gives: ReadonlySet<number>;
}

/** What the colours of some mixes bring. */
export function broughtBy(points: readonly Lab[], wanted: readonly ColourWanted[]): Brings {
  const gives = new Set<number>();
  if (wanted.length > 0) {
    const widest = wanted.reduce((most, { tolerance }) => Math.max(most, tolerance), 0);
    const colours = closeColours(
      wanted.map(({ lab }) => lab),
      widest,
    );
    colours.limit((at) => wanted[at].tolerance);
    for (const lab of points) {
      colours.visit(lab, (at) => {
        gives.add(at);
        colours.narrow(at, 0);
      });
    }
  }
  return { range: rangeOf(points), gives };
}

/** An addition that was chosen. */
export interface Chosen<T> {
  readonly of: T;
  /** Size of what it adds to the range, after those chosen before it; cubes of CIELAB units. */
  readonly gain: number;
  /** Places of the wanted colours that it adds, after those chosen before it. */
  readonly gives: readonly number[];
}

/**
 * The few additions that bring most: one by one, each the best beside those chosen before it.
 * Shape:   what is there, additions with what each brings -> at most `top`, the best first
 * Holds:   wanted colours come before range; an addition that brings neither is not chosen
 * Limits:  mixes of two additions with each other are not counted
 */
export function bestAdditions<T>(
  start: Brings,
  additions: readonly (Brings & { readonly of: T })[],
  top: number,
): readonly Chosen<T>[] {
  const chosen: Chosen<T>[] = [];
  let { range, gives } = start;
  let left = [...additions];
  while (chosen.length < top) {
    const volume = volumeOf(range);
    const judged = left.map((addition) => ({
      addition,
      gain: volumeOf(joined(range, addition.range)) - volume,
      more: [...addition.gives].filter((at) => !gives.has(at)),
    }));
    const best = judged.reduce<(typeof judged)[number] | undefined>(
      (most, one) =>
        most === undefined ||
        one.more.length > most.more.length ||
        (one.more.length === most.more.length && one.gain > most.gain)
          ? one
          : most,
      undefined,
    );
    if (best === undefined || (best.more.length === 0 && best.gain < volume * LEAST_GAIN)) break;
    chosen.push({ of: best.addition.of, gain: best.gain, gives: best.more });
    range = joined(range, best.addition.range);
    gives = new Set([...gives, ...best.more]);
    left = left.filter((one) => one !== best.addition);
  }
  return chosen;
}

/** A smaller share of the range is within what the sampling of mixes leaves open. */
const LEAST_GAIN = 0.005;
