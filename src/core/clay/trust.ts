import { choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import type { SeenTile } from './fit-result.ts';

/** Noise and robust weights at one point, held while the steps from there converge. */
export interface Trust {
  readonly tiles: readonly SeenTile[];
  /** Cholesky roots of the noise, by tile. */
  readonly roots: readonly Float64Array[];
  readonly weights: readonly number[];
}

/**
 * Noise and weights of tiles as they are seen; weights are 1 unless robust.
 * Refuses: noise that is no covariance -> not-positive-definite
 */
export function trustOf(tiles: readonly SeenTile[], robust: boolean): Trust {
  const roots = tiles.map(({ slopes, residual }) => {
    const root = Float64Array.from(slopes.noise);
    choleskyInPlace(root, residual.length);
    return root;
  });
  const weights = tiles.map(({ residual }, t) =>
    robust ? robustWeight(distanceOf(roots[t], residual), residual.length) : 1,
  );
  return { tiles, roots, weights };
}

/** Values divided by the root of the noise, d rows. */
export function whitened(root: Float64Array, values: Float64Array, d: number): Float64Array {
  const white = Float64Array.from(values);
  forward(root, white, d, values.length / d);
  return white;
}

/** Squared length of the whitened residual. */
export function distanceOf(root: Float64Array, residual: Float64Array): number {
  return whitened(root, residual, residual.length).reduce((sum, v) => sum + v * v, 0);
}

/**
 * Weight of a tile: 1 up to the distance that one good tile in a hundred exceeds, falling with the
 * square of the distance beyond it. Good tiles lose nothing, and one bad tile cannot dominate.
 */
function robustWeight(distance: number, dimension: number): number {
  return Math.min(1, chiSquared99(dimension) / distance);
}

/** Value that a chi-squared variable of n degrees exceeds once in a hundred. Source: [WilsonHilferty1931] */
function chiSquared99(n: number): number {
  const share = 2 / (9 * n);
  return n * (1 - share + 2.326 * Math.sqrt(share)) ** 3;
}
