import { describe, expect, it } from 'vitest';
import { seededChance } from '../numeric/seeded-chance.ts';
import { halfNormalAt } from './half-normal.ts';
import { temperedDraws } from './tempered-draws.ts';

describe('draws given data', () => {
  /** Each live coordinate read once, with an error: the law that follows is normal and known. */
  const read = [1.5, -2, 0.3];
  const error = 0.4;
  const of = {
    width: 5,
    live: [0, 2, 3],
    logAt: (z: Float64Array, from: number) =>
      [0, 2, 3].reduce((sum, k, i) => sum - ((z[from + k] - read[i]) / error) ** 2 / 2, 0),
  };
  const { z, evidence } = temperedDraws(of, { count: 4000, moves: 6, chance: seededChance(3) });
  const column = (k: number) => Array.from({ length: 4000 }, (_, i) => z[5 * i + k]);
  const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;
  const spread = (values: readonly number[]) =>
    Math.sqrt(mean(values.map((v) => (v - mean(values)) ** 2)));

  it('have the mean and the spread of the exact law, and leave the others as before', () => {
    const keeps = 1 / (1 + error ** 2);
    for (const [i, k] of of.live.entries()) {
      expect(Math.abs(mean(column(k)) - keeps * read[i])).toBeLessThan(0.03);
      expect(spread(column(k))).toBeCloseTo(error * Math.sqrt(keeps), 1);
    }
    for (const k of [1, 4]) {
      expect(Math.abs(mean(column(k)))).toBeLessThan(0.06);
      expect(Math.abs(spread(column(k)) - 1)).toBeLessThan(0.05);
    }
  });

  it('say how well the data is explained', () => {
    const exact = read.reduce(
      (sum, r) => sum + Math.log(error / Math.hypot(1, error)) - r ** 2 / (1 + error ** 2) / 2,
      0,
    );
    expect(Math.abs(evidence - exact)).toBeLessThan(0.1);
  });
});

describe('a half normal variable from a normal one', () => {
  it('keeps the share that is larger, and rises', () => {
    // Published values: a normal variable lies within 1, 1.644854, 1.959964 in 68.2689, 90, 95 %.
    for (const [u, z] of [
      [0.4752, 1],
      [1.281552, 1.644854],
      [1.644854, 1.959964],
    ]) {
      expect(halfNormalAt(u)).toBeCloseTo(z, 4);
    }
    for (let u = -7; u < 7; u += 0.01) {
      expect(halfNormalAt(u + 0.01)).toBeGreaterThanOrEqual(halfNormalAt(u));
    }
    expect(halfNormalAt(-40)).toBeGreaterThanOrEqual(0);
    expect(halfNormalAt(40)).toBe(halfNormalAt(6));
  });
});
