import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import type { Lab } from '../colour/triples.ts';
import { combineReadings } from './combine-readings.ts';
import { controlDrift, tailOfThree } from './control-drift.ts';

const sure = (lab: Lab, sd: number) => ({
  lab,
  covariance: [sd * sd, 0, 0, 0, sd * sd, 0, 0, 0, sd * sd],
});

describe('tailOfThree', () => {
  // Abramowitz and Stegun, table 26.8, three degrees of freedom.
  it.each([
    [7.81473, 0.05],
    [11.3449, 0.01],
    [16.2662, 0.001],
    [2.36597, 0.5],
  ])('beyond %f lies %f', (x, share) => {
    expect(tailOfThree(x)).toBeCloseTo(share, 5);
  });
});

describe('controlDrift', () => {
  it('warns once in a hundred when nothing changed', () => {
    const random = randomFrom(5);
    let cries = 0;
    const trials = 4000;
    for (let i = 0; i < trials; i++) {
      const look = () =>
        sure([60 + 0.7 * random.normal(), 0.7 * random.normal(), 0.7 * random.normal()], 0.7);
      if (controlDrift([look(), look()], look()).drifted) cries++;
    }
    expect(cries / trials).toBeGreaterThan(0.004);
    expect(cries / trials).toBeLessThan(0.018);
  });

  it('notices a tile that yellowed by four', () => {
    const drift = controlDrift(
      [sure([80, 0, 5], 0.6), sure([80.3, 0, 5.2], 0.6)],
      sure([80, 0, 9], 0.6),
    );
    expect(drift.drifted).toBe(true);
    expect(drift.shift[2]).toBeCloseTo(3.9, 6);
  });
});

describe('combineReadings', () => {
  it('returns a single photo unchanged', () => {
    const one = sure([50, 10, -5], 1);
    expect(combineReadings([one])).toMatchObject({ lab: [50, 10, -5], disagree: false, photos: 1 });
  });

  it('weighs the more certain photo more, and says when photos disagree', () => {
    const both = combineReadings([sure([50, 0, 0], 0.5), sure([51, 0, 0], 1)]);
    expect(both.lab[0]).toBeCloseTo(50.2, 6);
    expect(both.disagree).toBe(false);
    expect(combineReadings([sure([50, 0, 0], 0.5), sure([58, 0, 0], 0.5)]).disagree).toBe(true);
  });
});
