import { beforeAll, describe, expect, it } from 'vitest';
import { greedyCost, plainCheapest } from '../../../bench/plain-shopping.ts';
import { highsOptimiser } from '../../solver/highs-optimiser.ts';
import { answered } from '../find/work-steps.ts';
import type { Optimiser } from '../numeric/linear-problem.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { packagesFor, shopping } from './shopping.ts';
import type { ShopBlock, ShoppingAsked, ShopRecipe } from './shopping-asked.ts';

let optimiser: Optimiser;
beforeAll(async () => {
  optimiser = await highsOptimiser();
});

/** Blocks at seeded prices, and recipes of one to three of them at random. */
function shopOf(seed: number, size: number, colours: number): ShoppingAsked {
  const { uniform } = seededChance(seed);
  const blocks = Array.from(
    { length: size },
    (): ShopBlock => ({
      packageG: 57,
      cost: 200 + Math.round(300 * uniform()),
      onHandG: uniform() < 0.3 ? Math.round(30 * uniform()) : 0,
      isClosed: false,
      line: uniform() < 0.5 ? 'A' : 'B',
    }),
  );
  const recipes = Array.from({ length: colours }, () =>
    Array.from({ length: 6 }, () => {
      const set = new Set(
        Array.from({ length: 1 + Math.floor(3 * uniform()) }, () => Math.floor(size * uniform())),
      );
      return { uses: [...set].map((block) => ({ block, grams: 24 / set.size })) };
    }),
  );
  return { blocks, recipes, gap: 0, seconds: 60, isThorough: true };
}

const listOf = (asked: ShoppingAsked) =>
  answered(shopping(asked), {
    nowMs: () => 0,
    breathe: async () => {},
    optimiser: async () => optimiser,
  });

describe('a buying list', () => {
  it('costs what trying every choice of packages finds', async () => {
    for (let seed = 1; seed <= 6; seed++) {
      const asked = shopOf(seed, 7, 6);
      const list = await listOf(asked);
      expect(list.cost).toBe(plainCheapest(asked));
      expect(list.bound).toBeGreaterThan(list.cost - 0.5);
      expect(list.cost).toBeLessThanOrEqual(greedyCost(asked));
      expect(list.packages).toEqual(packagesFor(asked, list.chosen));
    }
  });

  it('buys as many packages as one colour needs', async () => {
    const block = { packageG: 57, cost: 300, onHandG: 0, isClosed: false, line: 'A' };
    const recipes = [[{ uses: [{ block: 0, grams: 2000 }] }]];
    const list = await listOf({ blocks: [block], recipes, gap: 0, seconds: 60, isThorough: false });
    expect([list.packages, list.chosen]).toEqual([[36], [0]]);
  });

  it('bounds the cost over thousands of recipes, and fits whole ones into its packages', async () => {
    for (const seed of [1, 2, 3]) {
      const few = shopOf(seed, 7, 6);
      // A block that is never bought makes recipes many and changes nothing.
      const never: ShopBlock = { packageG: 57, cost: 1, onHandG: 0, isClosed: true, line: 'A' };
      const useless: ShopRecipe[] = Array.from({ length: 1100 }, (_, i) => ({
        uses: [{ block: 7, grams: 20 + i / 100 }],
      }));
      const asked = {
        ...few,
        blocks: [...few.blocks, never],
        recipes: few.recipes.map((own) => [...own, ...useless]),
      };
      const { cost, bound, packages, chosen } = await listOf(asked);
      const plain = plainCheapest(few) ?? Number.NaN;
      expect(bound).toBeGreaterThan(0);
      expect(bound).toBeLessThanOrEqual(plain + 1e-6);
      expect(cost).toBeGreaterThanOrEqual(plain);
      expect(cost).toBeLessThanOrEqual(greedyCost(few));
      expect(packages).toEqual(packagesFor(asked, chosen));
      expect(chosen).not.toContain(undefined);
    }
  });

  it('meets every colour where the quick list leaves one out', async () => {
    const closed: ShopBlock = { packageG: 57, cost: 1, onHandG: 60, isClosed: true, line: 'A' };
    const open: ShopBlock = { packageG: 57, cost: 100, onHandG: 0, isClosed: false, line: 'A' };
    const of = (block: number): ShopRecipe => ({ uses: [{ block, grams: 40 }] });
    // Shares of what is at hand give all three colours, whole recipes only two.
    const useless = Array.from({ length: 2000 }, () => of(3));
    const own = [...Array.from({ length: 70 }, (_, i) => of(i % 2)), of(2), ...useless];
    const list = await listOf({
      blocks: [closed, closed, open, { ...closed, onHandG: 0 }],
      recipes: [own, own, own],
      ...{ gap: 0, seconds: 10, isThorough: true },
    });
    expect(list.chosen).not.toContain(undefined);
    expect(list.cost).toBe(100);
  });

  it('keeps to a budget, meets as many colours as that allows, and buys of few lines', async () => {
    const asked = shopOf(5, 8, 7);
    const whole = await listOf(asked);
    const half = await listOf({ ...asked, budget: Math.floor(whole.cost / 2) });
    expect(half.cost).toBeLessThanOrEqual(whole.cost / 2);
    const met = half.chosen.filter((at) => at !== undefined).length;
    expect(met).toBeGreaterThan(0);
    expect(met).toBeLessThan(7);
    const one = await listOf({ ...asked, mostLines: 1 });
    const lines = new Set(
      asked.blocks.flatMap(({ line }, i) => ((one.packages[i] ?? 0) > 0 ? [line] : [])),
    );
    expect(lines.size).toBeLessThanOrEqual(1);
    // More freedom never costs more.
    if (one.chosen.every((at) => at !== undefined)) {
      expect(one.cost).toBeGreaterThanOrEqual(whole.cost);
    }
  });

  it('leaves out a colour without recipes, and never buys a closed block', async () => {
    const asked = shopOf(3, 8, 5);
    const closed = asked.blocks.map((block, i) => ({ ...block, isClosed: i === 0 }));
    const list = await listOf({ ...asked, blocks: closed, recipes: [...asked.recipes, []] });
    expect(list.packages[0]).toBe(0);
    expect(list.chosen.at(-1)).toBeUndefined();
    // What is not met adds nothing to what was proven of the rest.
    const without = await listOf({ ...asked, blocks: closed, gap: 0.2 });
    const with20 = await listOf({
      ...asked,
      blocks: closed,
      recipes: [...asked.recipes, []],
      gap: 0.2,
    });
    expect(with20).toMatchObject({ cost: without.cost, bound: without.bound });
  });

  it('takes the better recipe where the packages are enough for it', async () => {
    const blocks: ShopBlock[] = [0, 1].map(() => ({
      packageG: 57,
      cost: 300,
      onHandG: 57,
      isClosed: false,
      line: 'A',
    }));
    const recipes = [[0, 1].map((block) => ({ uses: [{ block, grams: 20 }] }))];
    const list = await listOf({ blocks, recipes, gap: 0, seconds: 10, isThorough: true });
    expect(list).toMatchObject({ cost: 0, chosen: [0] });
  });
});
