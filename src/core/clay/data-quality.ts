import type { ClayClass } from './clay-class.ts';

/**
 * Factor on the variance by which the true spread is wider than the Gaussian at the optimum, by
 * type of clay and number of its tiles (1, 2, 3, 4 and more). A clay with one tile is not Gaussian:
 * a dark clay may be a violet or a green, and the optimum has to choose one. With these factors, 90
 * % regions hold 90 % of unseen mixes of paints that were left out of the prior (bench/widening.ts,
 * 240 studios). Pastels come out better known than the Gaussian says, because their white makes
 * them alike. Types that only few measured paints represent keep 1.
 */
const WIDENING: Readonly<Partial<Record<ClayClass, readonly [number, number, number, number]>>> = {
  black: [2.15, 0.75, 0.65, 0.8],
  opaque: [1.05, 1.1, 1.05, 1],
  pastel: [0.3, 1, 0.65, 0.45],
};

/** Factor on the variance that one clay brings into a mix. */
export function widening(clay: { readonly clayClass: ClayClass; readonly tiles: number }): number {
  const factors = WIDENING[clay.clayClass];
  if (factors === undefined || clay.tiles < 1) return 1;
  return factors[Math.min(clay.tiles, 4) - 1];
}
