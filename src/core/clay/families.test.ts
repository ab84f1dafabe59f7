import fc from 'fast-check';
import { inverse, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { BlockMatrix, factorise } from './block-cholesky.ts';
import { type Belief, beliefFromFamilies, blockCovariance, type Families } from './families.ts';

const gauss = (x: number, mean: number, variance: number) =>
  Math.exp((-0.5 * (x - mean) ** 2) / variance) / Math.sqrt(2 * Math.PI * variance);

/** Posterior of one unknown: the Gaussian belief so far times a Gaussian likelihood. */
function posterior(before: Belief, at: number, variance: number) {
  const precision = before.precision[0] + 1 / variance;
  return {
    mean: Float64Array.of((before.precision[0] * before.mean[0] + at / variance) / precision),
    covariance: Float64Array.of(1 / precision),
  };
}

describe('belief from families', () => {
  it('in one dimension is what integrating over every family by numbers gives', () => {
    fc.assert(
      fc.property(
        fc.record({
          centres: fc.array(between(-3, 3), { minLength: 1, maxLength: 5 }),
          spread: between(0.2, 1),
          broadShare: between(0.05, 0.9),
          at: between(-4, 4),
          variance: between(0.01, 2),
          beforeMean: between(-1, 1),
          beforePrecision: between(0.5, 3),
        }),
        ({ centres, spread, broadShare, at, variance, beforeMean, beforePrecision }) => {
          const families: Families = {
            centres: centres.map((c) => Float64Array.of(c)),
            spread,
            broadShare,
          };
          const free: Belief = { mean: Float64Array.of(0), precision: Float64Array.of(1) };
          const before: Belief = {
            mean: Float64Array.of(beforeMean),
            precision: Float64Array.of(beforePrecision),
          };
          const { mean, covariance } = posterior(before, at, variance);
          const got = beliefFromFamilies(families, free, before, mean, covariance, []);
          // Weight of each component: the integral of component times likelihood, by the rectangle
          // rule, which is exact to rounding for functions that fall like these.
          const components = [
            { share: broadShare, mean: 0, variance: 1 },
            ...centres.map((c) => ({
              share: (1 - broadShare) / centres.length,
              mean: c,
              variance: spread * spread,
            })),
          ];
          const step = 0.01;
          const weights = components.map((c) => {
            let sum = 0;
            for (let x = -15; x <= 15; x += step) {
              sum += gauss(x, c.mean, c.variance) * gauss(x, at, variance) * step;
            }
            return c.share * sum;
          });
          const total = weights.reduce((a, b) => a + b, 0);
          const middle = components.reduce((sum, c, i) => sum + (weights[i] / total) * c.mean, 0);
          const width = components.reduce(
            (sum, c, i) => sum + (weights[i] / total) * (c.variance + (c.mean - middle) ** 2),
            0,
          );
          expect(Math.abs(got.mean[0] - middle)).toBeLessThan(1e-8);
          expect(Math.abs(1 / got.precision[0] - width)).toBeLessThan(1e-8);
        },
      ),
      { seed: 1123, numRuns: 60 },
    );
  });

  it('depends only on what the tiles showed, not on the belief it started from', () => {
    const families: Families = { centres: [Float64Array.of(2)], spread: 0.5, broadShare: 0.2 };
    const free: Belief = { mean: Float64Array.of(0), precision: Float64Array.of(1) };
    const beliefs = [
      [0, 1],
      [1.5, 4],
    ].map(([m, p]) => {
      const before = { mean: Float64Array.of(m), precision: Float64Array.of(p) };
      const { mean, covariance } = posterior(before, 1.2, 0.3);
      return beliefFromFamilies(families, free, before, mean, covariance, []);
    });
    expect(beliefs[1].mean[0]).toBeCloseTo(beliefs[0].mean[0], 12);
    expect(beliefs[1].precision[0]).toBeCloseTo(beliefs[0].precision[0], 12);
  });

  it('chooses the family the tiles point at, and leaves a fixed unknown as wide as it was', () => {
    const families: Families = {
      centres: [Float64Array.of(2, 0), Float64Array.of(-2, 0)],
      spread: 0.3,
      broadShare: 0.1,
    };
    const free: Belief = { mean: new Float64Array(2), precision: Float64Array.of(1, 0.7) };
    const sharp = Float64Array.of(0.01, 0, 0, 1 / 1.7);
    const belief = beliefFromFamilies(families, free, free, Float64Array.of(2, 0), sharp, [1]);
    expect(belief.mean[0]).toBeGreaterThan(1.8);
    expect(1 / belief.precision[0]).toBeLessThan(0.4);
    expect(belief.precision[1]).toBeCloseTo(0.7, 12);
  });
});

describe('covariance of a block', () => {
  it('is that block of the inverse of the whole', () => {
    // 3 blocks, each tied to the next; inverse by ml-matrix.
    const sizes = [2, 1, 3];
    const matrix = new BlockMatrix(sizes);
    const dense = Matrix.eye(6, 6).mul(4);
    sizes.forEach((n, i) => {
      for (let k = 0; k < n; k++) matrix.block(i, i)[k * n + k] = 4;
    });
    const tie = (
      i: number,
      j: number,
      at: readonly [number, number],
      values: readonly number[],
    ) => {
      matrix.block(i, j).set(values);
      values.forEach((v, index) => {
        const r = at[0] + Math.floor(index / sizes[j]);
        const c = at[1] + (index % sizes[j]);
        dense.set(r, c, v);
        dense.set(c, r, v);
      });
    };
    tie(1, 0, [2, 0], [1, -0.5]);
    tie(2, 1, [3, 2], [0.3, 0.7, -1]);
    const factor = factorise(matrix);
    const whole = inverse(dense);
    let start = 0;
    sizes.forEach((n, block) => {
      const got = blockCovariance(factor, block);
      for (let r = 0; r < n; r++) {
        for (let c = 0; c < n; c++) {
          expect(got[r * n + c]).toBeCloseTo(whole.get(start + r, start + c), 12);
        }
      }
      start += n;
    });
  });
});
