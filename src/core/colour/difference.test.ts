import { differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numbers, oracle } from '../../../test/oracles/colour/read-oracle.ts';
import { deltaE76, deltaE2000, deltaE2000At } from './difference.ts';
import type { Lab } from './triples.ts';

const lab = fc.tuple(
  fc.double({ min: 0, max: 100, noNaN: true }),
  fc.double({ min: -120, max: 120, noNaN: true }),
  fc.double({ min: -120, max: 120, noNaN: true }),
);

describe('deltaE2000', () => {
  // Sharma, Wu, Dalal, Color Res. Appl. 30(1), 2005, Table 1: four decimals.
  it.each(oracle('ciede2000-sharma2005.csv'))('matches pair $pair of Sharma 2005', (row) => {
    const [l1, a1, b1, l2, a2, b2, expected] = numbers(
      row,
      'L1',
      'a1',
      'b1',
      'L2',
      'a2',
      'b2',
      'dE00',
    );
    expect(Math.abs(deltaE2000([l1, a1, b1], [l2, a2, b2]) - expected)).toBeLessThan(0.0001);
    expect(Math.abs(deltaE2000([l2, a2, b2], [l1, a1, b1]) - expected)).toBeLessThan(0.0001);
  });

  // Pairs of the same table, values from memory and computed again from the formula.
  it.each([
    { one: [50, 2.6772, -79.7751], other: [50, 0, -82.7485], expected: 2.0425 },
    { one: [50, 2.5, 0], other: [73, 25, -18], expected: 27.1492 },
    { one: [50, 0, 0], other: [50, -1, 2], expected: 2.3669 },
  ])('gives $expected', ({ one, other, expected }) => {
    const d = deltaE2000At(one[0], one[1], one[2], other[0], other[1], other[2]);
    expect(Math.abs(d - expected)).toBeLessThan(0.0001);
  });

  it('agrees with culori on a grid (its form holds for the D65 space alone)', () => {
    const theirs = differenceCiede2000();
    const axis = [-90, -31, -4, 0, 7, 44, 88];
    let pairs = 0;
    for (const L of [0, 18, 50, 83, 100])
      for (const a of axis)
        for (const b of axis) {
          const one: Lab = [L, a, b];
          for (const step of [1, 13]) {
            const other: Lab = [Math.abs(L - step), a + step / 2, b - step];
            const expected = theirs(
              { mode: 'lab65', l: one[0], a: one[1], b: one[2] },
              { mode: 'lab65', l: other[0], a: other[1], b: other[2] },
            );
            expect(Math.abs(deltaE2000(one, other) - expected)).toBeLessThan(1e-9);
            pairs++;
          }
        }
    expect(pairs).toBe(490);
  });

  it('is symmetric, never below zero, and zero for a colour with itself', () => {
    fc.assert(
      fc.property(lab, lab, (one, other) => {
        const there = deltaE2000(one, other);
        return (
          there >= 0 &&
          Math.abs(there - deltaE2000(other, one)) < 1e-9 &&
          deltaE2000(one, one) === 0
        );
      }),
      { seed: 20051, numRuns: 2000 },
    );
  });
});

describe('deltaE76', () => {
  it('is the plain distance', () => expect(deltaE76([50, 3, 4], [62, 0, 0])).toBeCloseTo(13, 12));
});
