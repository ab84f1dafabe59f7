import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { commonest } from './commonest.ts';

describe('commonest', () => {
  it('finds the peak among values spread to one side, where mean and median are pulled', () => {
    const random = randomFrom(8);
    const values = Array.from({ length: 2000 }, (_, i) =>
      i < 900 ? 0.3 + 0.005 * random.normal() : 0.32 + 0.5 * random.uniform(),
    );
    expect(Math.abs(commonest(values) - 0.3)).toBeLessThan(0.01);
    expect([...values].sort((a, b) => a - b)[1000]).toBeGreaterThan(0.32);
  });

  it('is the value itself where there is one', () => {
    expect(commonest([0.4])).toBe(0.4);
  });
});
