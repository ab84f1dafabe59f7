import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import { allRungs, evenLadder, unevenness } from './ladder.ts';

/** A path on which the first part of the second mix does most of the work, as a strong clay does. */
const bent = (share: number): Lab => [80 - 50 * share ** 0.6, 30 * share ** 0.7, -20 * share];
const rungsOf = (pieces: number) =>
  allRungs(pieces).map((rung) => ({ ...rung, lab: bent(rung.to / (rung.from + rung.to)) }));

describe('allRungs', () => {
  it('are the fractions up to the number of pieces, in order', () => {
    // The Farey sequence of order n has 1 + the sum of Euler's totients up to n [HardyWright2008].
    const totients = [1, 1, 2, 2, 4, 2, 6, 4, 6, 4, 10, 4];
    for (let pieces = 1; pieces <= 12; pieces++) {
      const length = 1 + totients.slice(0, pieces).reduce((sum, v) => sum + v, 0);
      expect(allRungs(pieces)).toHaveLength(length);
    }
    expect(allRungs(3)).toEqual([
      { from: 1, to: 0 },
      { from: 2, to: 1 },
      { from: 1, to: 1 },
      { from: 1, to: 2 },
      { from: 0, to: 1 },
    ]);
  });
});

describe('evenLadder', () => {
  it('holds both ends and goes one way', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 9 }), (steps) => {
        const ladder = evenLadder(rungsOf(12), steps);
        expect(ladder).toHaveLength(steps);
        expect(ladder[0].to).toBe(0);
        expect(ladder[steps - 1].from).toBe(0);
        const shares = ladder.map(({ from, to }) => to / (from + to));
        expect(shares).toEqual([...shares].sort((a, b) => a - b));
      }),
    );
  });

  it('is more even than equal parts where a clay is strong', () => {
    const equal = [0, 0.25, 0.5, 0.75, 1].map(bent);
    const ladder = evenLadder(rungsOf(12), 5).map(({ lab }) => lab);
    expect(unevenness(equal)).toBeGreaterThan(1.35);
    expect(unevenness(ladder)).toBeLessThan(1.3);
  });

  it('refuses more steps than there are mixes', () => {
    expect(() => evenLadder(rungsOf(1), 3)).toThrow(/3 steps/);
  });
});
