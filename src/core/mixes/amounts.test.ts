import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between, decades } from '../../../test/conformance/uniform.ts';
import { AppError } from '../errors.ts';
import { batchOf } from './amounts.ts';

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
