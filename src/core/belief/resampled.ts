import type { Chance } from '../numeric/seeded-chance.ts';

/** As many draws again, each as often as its weight requires: one uniform number and even steps. */
export function resampled(
  draws: readonly Float64Array[],
  weights: readonly number[],
  chance: Chance,
): Float64Array[] {
  const sum = weights.reduce((total, w) => total + w, 0);
  const start = chance.uniform();
  let at = 0;
  let reached = weights[0];
  return draws.map((_, i) => {
    const mark = ((i + start) / draws.length) * sum;
    while (reached < mark && at < draws.length - 1) reached += weights[++at];
    return draws[at];
  });
}
