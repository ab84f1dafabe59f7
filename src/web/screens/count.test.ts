import { describe, expect, it } from 'vitest';
import { count, inThousands } from './count.ts';

describe('counts in words', () => {
  it.each([0, 7, 999, 1000, 12_345, 100_000, 3_896_775, 1_234_567_890])('groups %d', (n) => {
    expect(inThousands(n)).toBe(n.toLocaleString('en'));
  });

  it('says one and many', () => {
    expect(count(1, 'block')).toBe('1 block');
    expect(count(1200, 'block')).toBe('1,200 blocks');
    expect(count(2, 'mix', 'mixes')).toBe('2 mixes');
  });
});
