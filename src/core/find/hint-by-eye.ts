import type { Lab } from '../colour/triples.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { sidesOf } from '../verdict/verdict.ts';

/** A crumb is so large a part of the lump. */
const CRUMB = 1 / 24;
/** Of what a crumb moves elsewhere, so much counts against the clay. */
const ASIDE = 0.7;
/** A crumb that moves the colour by less does not show, dE00. */
const LEAST = 0.15;

const OPPOSITES: Readonly<Record<string, string>> = Object.fromEntries(
  [
    ['lighter', 'darker'],
    ['brighter', 'duller'],
    ['redder', 'greener'],
    ['yellower', 'bluer'],
  ].flatMap(([one, other]) => [
    [one, other],
    [other, one],
  ]),
);

/**
 * The clay of which a crumb helps where a mix looks lighter, duller, greener ... than its original.
 * Shape:   parts by index, the clays allowed, the word for how the mix looks -> a clay
 * Method:  a crumb of every clay, a twenty-fourth of the lump; the one that leads straightest the other way
 * Returns: undefined where a crumb of none shows
 */
export function clayAgainst(
  looks: string,
  parts: WholeParts,
  clays: readonly number[],
  colourOf: (parts: WholeParts) => Lab,
): number | undefined {
  const wanted = OPPOSITES[looks];
  const now = colourOf(parts);
  const crumb = CRUMB * parts.reduce((sum, one) => sum + one.parts, 0);
  let best: { readonly clay: number; readonly gain: number } | undefined;
  for (const clay of clays) {
    const own = parts.find((one) => one.clay === clay);
    const whole =
      own === undefined
        ? [...parts, { clay, parts: crumb }]
        : parts.map((one) => (one === own ? { clay, parts: own.parts + crumb } : one));
    const sides = sidesOf(now, colourOf(whole));
    const back = sides.find(({ word }) => word === wanted)?.size ?? 0;
    const aside = Math.hypot(...sides.flatMap(({ word, size }) => (word === wanted ? [] : [size])));
    const gain = back - ASIDE * aside;
    if (back >= LEAST && gain > (best?.gain ?? 0)) best = { clay, gain };
  }
  return best?.clay;
}
