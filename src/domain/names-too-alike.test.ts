import { describe, expect, it } from 'vitest';
import { namesTooAlike } from './names-too-alike.ts';

describe('names that may be one clay in two spellings', () => {
  it.each([
    ['Kelp', 'Kelpp'],
    ['Periwinkle', 'Periwinkel'],
    ['Deep Lagoon', 'Deep Lagon'],
  ])('%s and %s', (one, other) => {
    expect(namesTooAlike(one, other)).toBe(true);
  });

  it.each([
    ['Kelp 2', 'Kelp 3'],
    ['Red A', 'Red B'],
    ['Ash', 'Asp'],
    ['Kelp', 'Kelp Green'],
    ['Limpet', 'Lagoon'],
    ['Kelp', 'kelp'],
  ])('not %s and %s', (one, other) => {
    expect(namesTooAlike(one, other)).toBe(false);
  });
});
