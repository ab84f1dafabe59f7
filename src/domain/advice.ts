import { verdictLimit } from '../core/verdict/verdict.ts';
import type { KindCounts } from './readings-by-kind.ts';
import { KINDS, type ReadingKind } from './records/reading-kind.ts';

/** How the user reads tiles, the surest way that the readings show. */
export const MEANS = ['measured', 'by eye', 'rough'] as const;
export type Means = (typeof MEANS)[number];

/** What a clay is known by, as far as the next step depends on it. */
export interface ClayKnown {
  readonly tiles: number;
  readonly ownTiles: number;
  readonly knownFrom: ReadingKind;
  /** Size of the ± of the clay alone, dE00. */
  readonly plusMinus: number;
}

/** Clays known to within "same" need no more tiles. */
const KNOWN_WELL_DE = verdictLimit('same');

/**
 * The means a user has, from the kinds of all readings: somebody who never measured has no instrument, so no
 * advice may ask for one. Colours that others gave say nothing of the user's means.
 */
export function meansOf(clays: readonly { readonly readings: KindCounts }[]): Means {
  const used = new Set(
    clays.flatMap(({ readings }) => KINDS.filter((k) => (readings[k] ?? 0) > 0)),
  );
  return MEANS.find((kind) => used.has(kind)) ?? 'by eye';
}

/** How to read the next tile by the means at hand. */
export const HOW_TO_READ: Readonly<Record<Means, string>> = {
  measured: 'Read it as you read your other tiles, once it is baked and cool.',
  'by eye':
    'Once it is baked and cool, hold it beside the screen in daylight and choose its colour by eye.',
  rough:
    'Once it is baked and cool, take a photo of it in daylight beside a tile you know, and tap it.',
};

/**
 * The next tile of a clay and how to read it, in words. After the plain tile, one mix with white and one
 * dark mix say most about a clay (common practice, no source); `next-tile` works out the exact one.
 */
export function adviceFor(
  { tiles, ownTiles, knownFrom, plusMinus }: ClayKnown,
  means: Means,
): string {
  if (plusMinus <= KNOWN_WELL_DE) return 'No more tiles needed.';
  const how = HOW_TO_READ[means];
  if (ownTiles === 0) return `Next: bake a plain tile. ${how}`;
  if (KINDS.indexOf(knownFrom) > KINDS.indexOf(means)) {
    return `Next: bake a plain tile in place of its rough colour. ${how}`;
  }
  if (tiles < 3) return `Next: bake 1 part + 9 parts white, and one darkened with black. ${how}`;
  return `Next: a tile with a lot of this clay in it. ${how}`;
}
