import type { Lab } from '../colour/triples.ts';
import { solveInPlace } from '../numeric/dense-cholesky.ts';
import type { RawBakedPair } from './line-shift.ts';

/** A colour as baking is expected to leave it. */
export interface BakedForecast {
  readonly lab: Lab;
  /** Standard deviation an axis, CIELAB units; that of the raw reading included. */
  readonly spread: number;
}

/**
 * What is assumed before any tile was read raw and baked, CIELAB units an axis: how far baking moves all
 * colours of a book alike, how far it moves one more than another, and from which distance on two colours
 * say little about each other. Common practice, no source.
 */
const ALIKE = 2;
const OWN = 3;
const REACH = 25;

/**
 * The baked colour of clay that was read raw, from tiles that were read raw and baked.
 * Shape:   raw colour, standard deviation of its reading, tiles (none: only wide) -> baked colour, spread
 * Units:   CIELAB under one light
 * Method:  the shift of each axis is a mean plus a smooth part that belongs to the colour, regressed on the
 *          tiles [RasmussenWilliams2006] (equations 2.25 and 2.26, from memory)
 * Holds:   far from all tiles the spread is that of a colour nothing is known of; no tile narrows it below
 *          the reading of the raw clay
 */
export function bakedFromRaw(
  raw: Lab,
  readSpread: number,
  tiles: readonly RawBakedPair[],
): BakedForecast {
  const n = tiles.length;
  const matrix = new Float64Array(n * n);
  tiles.forEach((one, i) => {
    tiles.forEach((other, j) => {
      matrix[i * n + j] = likeness(one.raw, other.raw);
    });
    matrix[i * n + i] += 2 * Math.max(one.spread, LEAST_NOISE) ** 2;
  });
  const towards = Float64Array.from(tiles, ({ raw: from }) => likeness(raw, from));
  const weights = towards.slice();
  if (n > 0) solveInPlace(matrix, weights, n);
  const shift = (axis: 0 | 1 | 2) =>
    tiles.reduce(
      (sum, { raw: from, baked }, i) => sum + weights[i] * (baked[axis] - from[axis]),
      0,
    );
  const known = towards.reduce((sum, v, i) => sum + v * weights[i], 0);
  const variance = Math.max(0, ALIKE ** 2 + OWN ** 2 - known);
  return {
    lab: [raw[0] + shift(0), raw[1] + shift(1), raw[2] + shift(2)],
    spread: Math.sqrt(variance + readSpread ** 2),
  };
}

/** Readings are never taken for more exact than this, CIELAB units. */
const LEAST_NOISE = 0.3;

function likeness(one: Lab, other: Lab): number {
  const apart = Math.hypot(one[0] - other[0], one[1] - other[1], one[2] - other[2]);
  return ALIKE ** 2 + OWN ** 2 * Math.exp(-0.5 * (apart / REACH) ** 2);
}
