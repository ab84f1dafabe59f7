import type { ClayClass } from './clay-class.ts';

/**
 * How much wider than the Gaussian at the optimum the truth is spread, as a factor on the variance,
 * by kind of clay and number of its tiles (1, 2, 3, 4 and more).
 *
 * Around a clay of one tile the belief is no Gaussian: a dark clay may hide a violet or a green, and
 * the optimum must take one side. The factors are those that make 90 % regions hold 90 % of unseen
 * mixes of paints left out of the prior (bench/widening.ts, 240 studios). Pastels come out better known than
 * the Gaussian says, because their white makes them alike. Kinds that few measured paints stand for
 * keep 1.
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

/**
 * Standard deviation of ln amount by which a concentrate's strength in a new mix differs from that in
 * its tiles. Measured pastes act 0.8 to 1.4 times as strong in mixtures as in their tints, each much
 * alike in all its mixtures (bench/pastes.ts): lots and small weighings, not a law of mixing. So the
 * ± of a prediction holds it and the fit does not.
 */
const CONCENTRATE_LOT_SPREAD = 0.09;

/**
 * Standard deviation of ln amount of one clay in a combination never baked: departure from simple
 * addition, and for a concentrate the strength of its next lot.
 */
export function newMixSpread(clayClass: ClayClass, combinationSpread: number): number {
  return clayClass === 'concentrate'
    ? Math.hypot(combinationSpread, CONCENTRATE_LOT_SPREAD)
    : combinationSpread;
}
