import { seededChance } from '../src/core/numeric/seeded-chance.ts';

/** The product's seeded random numbers for benchmarks and tests, with whole numbers. */
export function randomFrom(seed: number) {
  const { uniform, normal } = seededChance(seed);
  const whole = (from: number, to: number): number =>
    from + Math.floor(uniform() * (to - from + 1));
  return { uniform, normal, whole };
}

export type Random = ReturnType<typeof randomFrom>;

export function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}

/** Value below which the given share of the values is, by linear interpolation. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (sorted.length - 1) * share;
  const below = Math.floor(at);
  const above = Math.min(sorted.length - 1, below + 1);
  return sorted[below] + (at - below) * (sorted[above] - sorted[below]);
}

/** Percentile bootstrap of a statistic: [5 %, 95 %]. */
export function bootstrap<T>(
  rows: readonly T[],
  statistic: (sample: readonly T[]) => number,
  random: Random,
  rounds = 2000,
): [number, number] {
  const values = Array.from({ length: rounds }, () =>
    statistic(rows.map(() => rows[random.whole(0, rows.length - 1)])),
  );
  return [quantile(values, 0.05), quantile(values, 0.95)];
}
