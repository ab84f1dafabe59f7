import { describe, expect, it } from 'vitest';
import { sameRecipe } from './duplicate-recipe.ts';

const parts = (counts: Readonly<Record<string, number>>) =>
  Object.entries(counts).map(([id, n]) => ({ of: { kind: 'block' as const, id }, parts: n }));

describe('one recipe, written twice', () => {
  it.each([
    [
      { kelp: 2, foam: 1 },
      { foam: 1, kelp: 2 },
    ],
    [
      { kelp: 2, foam: 1 },
      { kelp: 4, foam: 2 },
    ],
    [
      { kelp: 0.5, foam: 0.25, urchin: 0.1 },
      { kelp: 10, foam: 5, urchin: 2 },
    ],
    [{ kelp: 3 }, { kelp: 1 }],
  ] as const)('is the same in any order and size: %o, %o', (one, other) => {
    expect(sameRecipe(parts(one), parts(other))).toBe(true);
  });

  it.each([
    [
      { kelp: 2, foam: 1 },
      { kelp: 1, foam: 2 },
    ],
    [
      { kelp: 2, foam: 1 },
      { kelp: 2, foam: 1, urchin: 1 },
    ],
    [
      { kelp: 2, foam: 1 },
      { kelp: 2, urchin: 1 },
    ],
    [
      { kelp: 12, foam: 1 },
      { kelp: 13, foam: 1 },
    ],
  ] as const)('is another where proportions or clays differ: %o, %o', (one, other) => {
    expect(sameRecipe(parts(one), parts(other as never))).toBe(false);
  });

  it('is another where a mix has the id of a block', () => {
    const mix = [{ of: { kind: 'mix' as const, id: 'kelp' }, parts: 1 }];
    expect(sameRecipe(mix, parts({ kelp: 1 }))).toBe(false);
  });
});
