import { deltaE2000 } from '../../core/colour/difference.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { verdictLimit } from '../../core/verdict/verdict.ts';

/** L* of the backgrounds behind colours, light and dark; look/tokens.css has the greys. */
const GROUNDS = [
  ['light', 98],
  ['light', 94],
  ['mid', 70],
  ['dim', 35],
  ['dark', 18],
  ['dark', 8],
] as const;
const FAMILY = verdictLimit('family');

export type Ground = (typeof GROUNDS)[number][0];

/**
 * The background on which a colour can hardly be seen, as both are of the same family.
 * Returns: undefined where the colour is visible on all backgrounds
 */
export function isNearBackground(lab: Lab): Ground | undefined {
  return GROUNDS.find(([, lightness]) => deltaE2000(lab, [lightness, 0, 0]) <= FAMILY)?.[0];
}
