import type { ClayClass } from './clay-class.ts';

/** What the spread depends on: of a model, or of a fit. */
export interface MixturesBaked {
  readonly clays: readonly { readonly clayClass: ClayClass }[];
  readonly combinations: Iterable<{ readonly main: number; readonly others: readonly number[] }>;
  readonly combinationSpread: number;
}

/**
 * Standard deviation of ln amount by which a concentrate's strength in a new mix differs from its
 * strength in its tiles. Measured pastes act 0.8 to 1.4 times as strong in mixtures as in their
 * tints, and each does so alike in all its mixtures (bench/pastes.ts). The cause is batches and
 * small weighings, not a law of mixing, so the ± of a prediction includes this spread and the fit
 * does not.
 */
const CONCENTRATE_BATCH_SPREAD = 0.12;
/**
 * Mixtures after which half of that variance is left: a concentrate acts alike in all its mixtures, so
 * those that were baked show how strong it is there. Judgement, by the regions of bench/pastes.ts.
 */
const MIXTURES_TO_HALVE = 3;

/**
 * Standard deviation of ln amount of one clay in a combination never baked: departure from simple
 * addition, and for a concentrate the strength of its next batch, surer with every mixture of it.
 */
export function newMixSpreadOf(model: MixturesBaked, clay: number): number {
  const { clays, combinationSpread } = model;
  if (clays[clay].clayClass !== 'concentrate') return combinationSpread;
  const left = MIXTURES_TO_HALVE / (MIXTURES_TO_HALVE + mixturesWith(model, clay));
  return Math.hypot(combinationSpread, CONCENTRATE_BATCH_SPREAD * Math.sqrt(left));
}

/** Combinations that were baked of a clay and another colour; white alone only thins it. */
function mixturesWith({ clays, combinations }: MixturesBaked, clay: number): number {
  return [...combinations].filter(({ main, others }) => {
    const all = [main, ...others];
    return all.includes(clay) && all.some((p) => p !== clay && clays[p].clayClass !== 'white');
  }).length;
}
