import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { choleskyInPlace } from '../numeric/dense-cholesky.ts';
import { chanceWithin, normalShare, verdictChances } from './chance.ts';

const DRAWS = 100_000;
/**
 * Three deviations of a count of 100,000 draws are 0.005; the rest is the rule's own error, see its
 * text.
 */
const NEAR = 0.02;

/** The plain way: draw colours and count. */
function counted(aim: Lab, lab: Lab, covariance: Float64Array, tolerance: number): number {
  const random = randomFrom(7);
  const root = Float64Array.from(covariance);
  choleskyInPlace(root, 3);
  let within = 0;
  for (let i = 0; i < DRAWS; i++) {
    const z = [random.normal(), random.normal(), random.normal()];
    const [l, a, b] = [0, 1, 2].map(
      (r) => lab[r] + root[r * 3] * z[0] + root[r * 3 + 1] * z[1] + root[r * 3 + 2] * z[2],
    );
    if (deltaE2000(aim, [l, a, b]) <= tolerance) within++;
  }
  return within / DRAWS;
}

describe('the chance of a match', () => {
  const random = randomFrom(11);
  const cases = Array.from({ length: 24 }, (_, i) => {
    const size = 0.4 + 4.5 * random.uniform();
    const mixing = Array.from({ length: 9 }, () => (random.normal() * size) / Math.sqrt(3));
    const covariance = Float64Array.from({ length: 9 }, (_, at) => {
      const [r, c] = [Math.floor(at / 3), at % 3];
      return [0, 1, 2].reduce((sum, k) => sum + mixing[r * 3 + k] * mixing[c * 3 + k], 0);
    });
    const aim: Lab = [
      10 + 80 * random.uniform(),
      120 * (random.uniform() - 0.5),
      120 * (random.uniform() - 0.5),
    ];
    const off = () => random.normal() * size * random.uniform();
    const lab: Lab = [aim[0] + off(), aim[1] + off(), aim[2] + off()];
    return { aim, lab, covariance, tolerance: [0.8, 1.8, 3.5, 7][i % 4] };
  });

  it.each(cases)('agrees with counting drawn colours, case %#', (c) => {
    const { aim, lab, covariance, tolerance } = c;
    const chance = chanceWithin(aim, lab, covariance, tolerance);
    expect(Math.abs(chance - counted(aim, lab, covariance, tolerance))).toBeLessThan(NEAR);
  });

  it('is the closed form where the cloud is a line of greys at L 50', () => {
    // There dE00 of two greys is dL / S_L with S_L = 1 to first order (Sharma 2005, S_L at mean L 50).
    const covariance = [4, 0, 0, 0, 0, 0, 0, 0, 0];
    const chance = chanceWithin([50, 0, 0], [50, 0, 0], covariance, 1);
    // P(|z| < 1/2) by tables of the normal law: 0.38292.
    expect(chance).toBeCloseTo(0.38292, 3);
  });

  it('is 1 or 0 where everything is certain', () => {
    const none = new Float64Array(9);
    expect(chanceWithin([50, 10, 10], [50, 10, 10], none, 0.8)).toBe(1);
    expect(chanceWithin([50, 10, 10], [50, 20, 10], none, 0.8)).toBe(0);
    expect(chanceWithin([50, 10, 10], [50, 10, 10], none, 0)).toBe(1);
  });

  it('rises from word to word and stays between 0 and 1', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        fc.tuple(number(0, 100), number(-90, 90), number(-90, 90)),
        fc.tuple(number(-20, 20), number(-20, 20), number(-20, 20)),
        fc.array(number(-6, 6), { minLength: 9, maxLength: 9 }),
        (aim, off, m) => {
          const covariance = Array.from({ length: 9 }, (_, at) => {
            const [r, c] = [Math.floor(at / 3), at % 3];
            return [0, 1, 2].reduce((sum, k) => sum + m[r * 3 + k] * m[c * 3 + k], 0);
          });
          const lab: Lab = [aim[0] + off[0], aim[1] + off[1], aim[2] + off[2]];
          const chances = verdictChances(aim, lab, covariance).map(({ chance }) => chance);
          for (const chance of chances) {
            expect(chance).toBeGreaterThanOrEqual(0);
            expect(chance).toBeLessThanOrEqual(1);
          }
          expect(chances).toEqual(chances.toSorted((p, q) => p - q));
        },
      ),
      { seed: 5, numRuns: 200 },
    );
  });

  it('refuses what is not a number and what is no covariance', () => {
    const none = new Float64Array(9);
    expect(() => chanceWithin([Number.NaN, 0, 0], [50, 0, 0], none, 1)).toThrow('not a number');
    expect(() => chanceWithin([50, 0, 0], [50, 0, 0], none, -1)).toThrow('not a number');
    expect(() => chanceWithin([50, 0, 0], [50, 0, 0], none, Number.POSITIVE_INFINITY)).toThrow(
      'not a number',
    );
    expect(() => chanceWithin([50, 0, 0], [50, 0, 0], [1, 0, 0, 0, -1, 0, 0, 0, 1], 1)).toThrow(
      'no covariance',
    );
  });
});

describe('the normal law', () => {
  // Abramowitz and Stegun 1964, table 26.1, five digits.
  it.each([
    [0, 0.5],
    [0.5, 0.69146],
    [1, 0.84134],
    [2, 0.97725],
    [-1.5, 0.06681],
  ])('has share %d below', (z, share) => {
    expect(normalShare(z)).toBeCloseTo(share, 5);
  });
});
