import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { AppError } from '../errors.ts';
import { covarianceRoot, looseRoot } from './covariance-root.ts';

const RUNS = { seed: 33, numRuns: 300 };

/** A covariance of three from as many random directions as asked: of fewer than three it is flat. */
const covariance = (directions: number) =>
  fc
    .array(fc.tuple(between(-3, 3), between(-3, 3), between(-3, 3)), {
      minLength: directions,
      maxLength: directions,
    })
    .map((rows) =>
      Float64Array.from({ length: 9 }, (_, i) =>
        rows.reduce((sum, row) => sum + row[Math.trunc(i / 3)] * row[i % 3], 0),
      ),
    );

describe('the root of a covariance', () => {
  it.each([0, 1, 2, 3])('gives it back, spread along %d directions', (directions) => {
    fc.assert(
      fc.property(covariance(directions), (c) => {
        const root = covarianceRoot(c);
        const size = c[0] + c[4] + c[8];
        for (let i = 0; i < 3; i++) {
          for (let j = 0; j < 3; j++) {
            const back = [0, 1, 2].reduce((sum, k) => sum + root[i * 3 + k] * root[j * 3 + k], 0);
            // Variances that count as 0 are left out: a billionth of the variance, its root off the
            // diagonal.
            expect(Math.abs(back - c[i * 3 + j])).toBeLessThanOrEqual(
              (i === j ? 3e-9 : 1e-4) * size,
            );
          }
        }
      }),
      RUNS,
    );
  });

  it.each([
    ['a variance below 0', [1, 0, 0, 0, -1, 0, 0, 0, 1]],
    ['a covariance with a direction that has no variance', [0, 5, 0, 5, 1, 0, 0, 0, 1]],
    ['more in common than either has', [1, 2, 0, 2, 1, 0, 0, 0, 1]],
    ['not a number', [Number.NaN, 0, 0, 0, 1, 0, 0, 0, 1]],
    ['an infinite number', [Number.POSITIVE_INFINITY, 0, 0, 0, 1, 0, 0, 0, 1]],
    ['a number missing', [1, 0, 0, 0, 1, 0, 0, 0]],
  ])('refuses %s', (_, c) => {
    expect(() => covarianceRoot(c)).toThrow(AppError);
  });

  it('in its loose form, leaves out what rounding makes negative', () => {
    expect([...looseRoot([4, 0, 0, 0, -1e-12, 0, 0, 0, 1])]).toEqual([2, 0, 0, 0, 0, 0, 0, 0, 1]);
  });
});
