import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between, decades } from '../../../test/conformance/uniform.ts';
import { AppError } from '../errors.ts';
import {
  ballDiameterMm,
  batchOf,
  costOf,
  cutterPieceCm3,
  priceMinorPerG,
  roundedParts,
} from './amounts.ts';

const RUNS = { seed: 5505, numRuns: 200 };
/** Rounding of a few dozen sums and products of 64-bit numbers. */
const ROUNDING = 1e-12;
const part = (clay: string, parts: number, densityGPerCm3: number) => ({
  clay,
  parts,
  densityGPerCm3,
});

describe('a batch', () => {
  it('of equal volumes at density ratio r is r/(1+r) by weight', () => {
    // From the definition of density; r = 1.25 gives 55.6 %.
    const { amounts, massG } = batchOf([part('heavy', 1, 1.75), part('light', 1, 1.4)], 'volume', {
      massG: 90,
    });
    expect(massG).toBeCloseTo(90, 10);
    expect(amounts[0].massG / massG).toBeCloseTo(0.556, 3);
    expect(amounts[0].volumeCm3).toBeCloseTo(amounts[1].volumeCm3, 12);
  });

  it('of a block of 57 g at 1.4 g/cm3 takes 40.7 cm3', () => {
    // 57 / 1.4, by hand.
    expect(batchOf([part('kelp', 1, 1.4)], 'weight', { massG: 57 }).volumeCm3).toBeCloseTo(40.7, 1);
  });

  it('may be sized by one part', () => {
    const parts = [part('kelp', 3, 1.4), part('foam', 1, 1.5)];
    expect(batchOf(parts, 'weight', { partG: 2 }).massG).toBe(8);
    expect(batchOf(parts, 'volume', { partCm3: 0.5 }).volumeCm3).toBe(2);
    expect(() => batchOf(parts, 'weight', { partCm3: 1 })).toThrow(AppError);
    expect(() => batchOf(parts, 'volume', { partG: 1 })).toThrow(AppError);
  });

  it('keeps parts, densities and size', () => {
    const rows = fc.array(fc.tuple(decades(-2, 2), between(1, 2)), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(
        rows,
        decades(-1, 3),
        fc.constantFrom('volume' as const, 'weight' as const),
        fc.boolean(),
        (drafts, size, basis, byMass) => {
          const parts = drafts.map(([n, density], i) => part(`p${i}`, n, density));
          const batch = batchOf(parts, basis, byMass ? { massG: size } : { volumeCm3: size });
          const got = byMass ? batch.massG : batch.volumeCm3;
          expect(Math.abs(got / size - 1)).toBeLessThan(ROUNDING);
          const first = batch.amounts[0];
          batch.amounts.forEach(({ massG, volumeCm3 }, i) => {
            expect(Math.abs(massG / (volumeCm3 * parts[i].densityGPerCm3) - 1)).toBeLessThan(
              ROUNDING,
            );
            const ratio = basis === 'weight' ? massG / first.massG : volumeCm3 / first.volumeCm3;
            expect(Math.abs((ratio * parts[0].parts) / parts[i].parts - 1)).toBeLessThan(ROUNDING);
          });
        },
      ),
      RUNS,
    );
  });

  it('refuses what is no amount', () => {
    for (const bad of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => batchOf([part('a', bad, 1.4)], 'volume', { massG: 1 })).toThrow(AppError);
      expect(() => batchOf([part('a', 1, bad)], 'volume', { massG: 1 })).toThrow(AppError);
      expect(() => batchOf([part('a', 1, 1.4)], 'volume', { massG: bad })).toThrow(AppError);
    }
    expect(() => batchOf([], 'volume', { massG: 1 })).toThrow(AppError);
  });
});

describe('pieces', () => {
  it('have the volume of a cylinder or a box', () => {
    // A 3 mm round cutter in a 2.5 mm sheet: 0.018 cm3, about 0.025 g at 1.4 (pi r^2 h).
    expect(cutterPieceCm3('round', 3, 2.5)).toBeCloseTo(0.0177, 4);
    expect(cutterPieceCm3('round', 3, 2.5) * 1.4).toBeCloseTo(0.025, 3);
    expect(cutterPieceCm3('square', 10, 2)).toBeCloseTo(0.2, 12);
  });

  it('roll into a ball of the same volume', () => {
    // 4/3 pi r^3 with r = 10 mm is 4.18879 cm3.
    expect(ballDiameterMm(4.18879)).toBeCloseTo(20, 4);
  });
});

describe('shares as whole parts', () => {
  it('are off by at most half a part for two clays', () => {
    expect(roundedParts([0.61, 0.39], 8)).toMatchObject({ parts: [5, 3] });
    expect(roundedParts([1, 1], 3)).toMatchObject({ parts: [2, 1], worst: 0.5 / 3 });
  });

  it('sum to the number asked, and no other counts are off by less', () => {
    fc.assert(
      fc.property(
        fc.array(between(0, 1), { minLength: 1, maxLength: 4 }).filter((s) => s.some((v) => v > 0)),
        fc.integer({ min: 1, max: 9 }),
        (shares, total) => {
          const { parts, errors, worst } = roundedParts(shares, total);
          expect(parts.reduce((sum, n) => sum + n, 0)).toBe(total);
          expect(worst).toBeLessThanOrEqual((1 - 1 / shares.length) / total + ROUNDING);
          const sum = shares.reduce((all, share) => all + share, 0);
          errors.forEach((e, i) => {
            expect(Math.abs(e - (parts[i] / total - shares[i] / sum))).toBeLessThan(ROUNDING);
          });
          // The slow plain way: all counts that sum to the total.
          const best = (at: number, left: number, off: number): number => {
            if (at === shares.length) return left === 0 ? off : Number.POSITIVE_INFINITY;
            let found = Number.POSITIVE_INFINITY;
            for (let n = 0; n <= left; n++) {
              const here = Math.abs(n / total - shares[at] / sum);
              found = Math.min(found, best(at + 1, left - n, Math.max(off, here)));
            }
            return found;
          };
          expect(worst).toBeLessThanOrEqual(best(0, total, 0) + ROUNDING);
        },
      ),
      RUNS,
    );
  });

  it('refuses what are no shares', () => {
    for (const bad of [[], [0, 0], [-1, 2], [Number.NaN]]) {
      expect(() => roundedParts(bad, 4)).toThrow(AppError);
    }
    for (const bad of [0, 1.5, 2e6]) expect(() => roundedParts([1], bad)).toThrow(AppError);
  });
});

describe('what clay costs', () => {
  it('by the gram, and rounded once for a batch', () => {
    const prices = new Map([
      ['kelp', { packageG: 57, priceMinor: 285 }],
      ['foam', { packageG: 56, priceMinor: 299 }],
    ]);
    expect(priceMinorPerG({ packageG: 57, priceMinor: 285 })).toBe(5);
    const amounts = [
      { clay: 'kelp', massG: 10 },
      { clay: 'foam', massG: 1.5 },
      { clay: 'sand', massG: 3 },
    ];
    // 50 + 1.5 x 299 / 56 = 58.009, by hand.
    expect(costOf(amounts, prices)).toEqual({ costMinor: 58, unpriced: ['sand'] });
    expect(() => priceMinorPerG({ packageG: 57, priceMinor: 2.5 })).toThrow(AppError);
    expect(() => priceMinorPerG({ packageG: 0, priceMinor: 2 })).toThrow(AppError);
  });
});
