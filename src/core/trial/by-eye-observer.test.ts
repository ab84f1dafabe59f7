import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import type { Lab } from '../colour/triples.ts';
import {
  chancesOfNearest,
  chanceUnseen,
  EYE,
  type EyeVerdict,
  felt,
  logChanceOfVerdict,
} from './by-eye-observer.ts';

const LOOKS = 200_000;

/** Share of looks that call a difference unseen, each look erring by a normal value an axis. */
function countedUnseen(dE00: number): number {
  const random = randomFrom(3);
  let unseen = 0;
  for (let i = 0; i < LOOKS; i++) {
    const [x, y, z] = [0, 1, 2].map(() => EYE.noise * random.normal());
    if (Math.hypot(x + dE00, y, z) < EYE.limit) unseen++;
  }
  return unseen / LOOKS;
}

describe('the eye model by which verdicts are weighed', () => {
  it('sees a difference of 0.8 in half of all looks, as 175 observers did (Paravina et al. 2015)', () => {
    expect(countedUnseen(0.8)).toBeCloseTo(0.5, 2);
  });

  it('calls 27 % of equal pairs different, as 16 subjects did (Lindsey and Wee 2007)', () => {
    expect(1 - countedUnseen(0)).toBeCloseTo(0.27, 2);
  });

  it.each([0, 0.4, 0.8, 1.8, 3])('has a closed form that agrees with looking, at %d', (dE00) => {
    // The formula of Abramowitz and Stegun 26.4.28 errs by up to 0.014 at three degrees.
    expect(Math.abs(chanceUnseen(dE00) - countedUnseen(dE00))).toBeLessThan(0.016);
  });

  it('separates two test balls as two looks of deviation 1 on its own scale do (Thurstone 1927)', () => {
    const random = randomFrom(5);
    for (const [near, far] of [
      [0.5, 1.2],
      [2, 3],
      [5, 8],
    ]) {
      let right = 0;
      for (let i = 0; i < LOOKS; i++) {
        if (felt(near) + random.normal() < felt(far) + random.normal()) right++;
      }
      // A logistic law replaces the normal one, at most 0.0095 off; counting adds 0.002.
      expect(Math.abs(chancesOfNearest([near, far])[0] - right / LOOKS)).toBeLessThan(0.012);
    }
  });
});

describe('the chance of a verdict', () => {
  const original: Lab = [50, 20, 20];
  const balls: Lab[] = [
    [53, 20, 20],
    [50, 28, 27],
    [42, 20, 20],
  ];
  const chance = (verdict: EyeVerdict) => Math.exp(logChanceOfVerdict(original, balls, verdict));

  it('sums to one over all answers to "which is closest?"', () => {
    const all = ([0, 1, 2, 'none'] as const).map((nearest) => chance({ nearest }));
    expect(all.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 12);
  });

  it('is never 0, so that one slip excludes nothing', () => {
    expect(chance({ nearest: 2, how: ['lighter', 'greener'] })).toBeGreaterThan(1e-8);
  });

  it.each([
    [[56, 20, 20], 'lighter', 'darker'],
    [[44, 20, 20], 'darker', 'lighter'],
    [[50, 27, 27], 'brighter', 'duller'],
    [[50, 13, 13], 'duller', 'brighter'],
    [[50, 26, 12], 'redder', 'greener'],
    [[50, 12, 26], 'yellower', 'bluer'],
    [[50, 26, 12], 'bluer', 'yellower'],
  ] as const)('a test ball at %j is rather called %s than %s', (ball, likely, unlikely) => {
    const one = (how: EyeVerdict['how'] & object) =>
      logChanceOfVerdict(original, [ball], { nearest: 0, how });
    expect(one([likely])).toBeGreaterThan(one([unlikely]) + 1);
  });

  it('is shared out among the grades of a word, each likeliest where its sizes are', () => {
    const grades = ['slightly', 'clearly', 'far'] as const;
    const say = (size: number, much: EyeVerdict['much'] & object) =>
      Math.exp(
        logChanceOfVerdict(original, [[50 + size, 20, 20]], { nearest: 0, how: ['lighter'], much }),
      );
    for (const [i, size] of [1.5, 4, 15].entries()) {
      const chances = grades.map((grade) => say(size, { lighter: grade }));
      expect(chances.indexOf(Math.max(...chances))).toBe(i);
      // Each may be a slip: the sum is the chance of the word and two slips more.
      const sum = chances.reduce((all, one) => all + one, 0);
      expect(sum).toBeGreaterThan(say(size, {}));
      expect(sum).toBeLessThan(say(size, {}) + 0.03);
    }
  });

  it('compares greys by red and yellow', () => {
    const one = (how: EyeVerdict['how'] & object) =>
      logChanceOfVerdict([50, 0, 0], [[50, 3, 0]], { nearest: 0, how });
    expect(one(['redder'])).toBeGreaterThan(one(['greener']) + 1);
  });
});
