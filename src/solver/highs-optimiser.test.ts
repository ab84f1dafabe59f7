import { expect, it } from 'vitest';
import { seededChance } from '../core/numeric/seeded-chance.ts';
import { highsOptimiser } from './highs-optimiser.ts';

it('ends after so many steps with the best so far, and says what is proven', async () => {
  const optimiser = await highsOptimiser();
  const { uniform } = seededChance(5);
  const count = 30;
  const rows = Array.from({ length: 8 }, () => ({
    terms: Array.from({ length: count }, (_, at) => [at, Math.round(100 * uniform())] as const),
    least: 900,
  }));
  const problem = {
    costs: Array.from({ length: count }, () => 100 + Math.round(50 * uniform())),
    most: new Array<number>(count).fill(1),
    whole: new Array<boolean>(count).fill(true),
    rows,
    gap: 0.02,
  };
  const whole = optimiser(problem);
  const ended = optimiser({ ...problem, steps: 1 });
  if (whole === undefined || ended === undefined) throw new Error('no values were found');
  expect(whole.cost - whole.bound).toBeLessThanOrEqual(0.02 * whole.cost + 1e-6);
  expect(ended.cost - ended.bound).toBeGreaterThan(0.02 * ended.cost);
  expect(ended.cost).toBeGreaterThanOrEqual(whole.bound);
  expect(ended.bound).toBeLessThanOrEqual(whole.cost);
  for (const { terms, least } of rows) {
    const sum = terms.reduce((all, [at, factor]) => all + factor * (ended.values[at] ?? 0), 0);
    expect(sum).toBeGreaterThanOrEqual(least - 1e-6);
  }
});
