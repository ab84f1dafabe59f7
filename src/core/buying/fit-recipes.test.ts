import { describe, expect, it } from 'vitest';
import { answered } from '../find/work-steps.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { countOfFits } from './count-of-fits.ts';
import { startFit } from './fit-recipes.ts';
import { likelyPackages } from './likely-packages.ts';
import { recipeTable } from './recipe-table.ts';
import type { ShopRecipe } from './shopping-asked.ts';

/** Recipes of some colours at random, of one to three of the blocks. */
function recipesOf(seed: number, blocks: number, colours: number, each: number) {
  const { uniform } = seededChance(seed);
  return Array.from({ length: colours }, () =>
    Array.from({ length: each }, (): ShopRecipe => {
      const set = new Set(
        Array.from({ length: 1 + Math.floor(3 * uniform()) }, () => Math.floor(blocks * uniform())),
      );
      return { uses: [...set].map((block) => ({ block, grams: 24 / set.size })) };
    }),
  );
}

/** Grams that one recipe of each colour uses, of every choice there is. */
function usesOf(recipes: readonly (readonly ShopRecipe[])[], blocks: number): number[][] {
  return recipes.reduce<number[][]>(
    (before, own) =>
      before.flatMap((used) =>
        own.map(({ uses }) => {
          const more = [...used];
          for (const { block, grams } of uses) more[block] += grams;
          return more;
        }),
      ),
    [Array.from({ length: blocks }, () => 0)],
  );
}

const fits = (used: readonly number[], there: readonly number[]) =>
  used.every((grams, block) => grams <= there[block] + 1e-9);

describe('whole recipes for what there is', () => {
  it('counts no less than every choice that fits, and nothing only where none does', () => {
    let none = 0;
    let some = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const { uniform } = seededChance(100 + seed);
      const recipes = recipesOf(seed, 5, 5, 5);
      const there = Array.from({ length: 5 }, () => Math.round(60 * uniform()));
      const table = recipeTable(recipes);
      const all = recipes.map((own, colour) => own.map((_, at) => table.starts[colour] + at));
      const { log } = countOfFits(table, all, there, new Float64Array(5).fill(0.1));
      const count = usesOf(recipes, 5).filter((used) => fits(used, there)).length;
      if (count > 0) expect(log).toBeGreaterThanOrEqual(Math.log(count));
      if (count > 0) some++;
      if (log < 0) none++;
    }
    // Both kinds are met, so the bound says something.
    expect([none > 5, some > 5]).toEqual([true, true]);
  });

  it('takes packages into which more fits, and that cost no more than allowed', async () => {
    for (const seed of [1, 2, 3]) {
      const recipes = recipesOf(seed, 6, 18, 12);
      const blocks = Array.from({ length: 6 }, (_, block) => ({
        ...{ packageG: 57, cost: 200 + 40 * block, onHandG: 10, isClosed: block === 5, line: 'A' },
      }));
      const asked = {
        ...{ from: [1, 1, 1, 1, 1, 0], mostPackages: [5, 5, 5, 5, 5, 0] },
        ...{ mostCost: 2300, prices: new Float64Array(6).fill(1) },
      };
      const table = recipeTable(recipes);
      const { packages, there, count } = await answered(likelyPackages(blocks, table, asked), {
        nowMs: () => 0,
        breathe: async () => {},
      });
      const cost = packages.reduce((sum, n, block) => sum + n * blocks[block].cost, 0);
      expect(cost).toBeLessThanOrEqual(2300);
      expect(packages[5]).toBe(0);
      expect(there).toEqual(packages.map((n) => 10 + 57 * n));
      const before = asked.from.map((n) => 10 + 57 * n);
      const all = recipes.map((own, colour) => own.map((_, at) => table.starts[colour] + at));
      const fitting = all.map((own) =>
        own.filter((at) => recipes.flat()[at].uses.every((use) => use.grams <= before[use.block])),
      );
      const { log } = countOfFits(table, fitting, before, asked.prices);
      expect(count.log).toBeGreaterThan(log);
    }
  });

  it('finds recipes where what is there is just enough, and says where none alone fits', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const recipes = recipesOf(seed, 8, 12, 30);
      const there = Array.from({ length: 8 }, () => 0);
      for (const [first] of recipes) {
        for (const { block, grams } of first.uses) there[block] += grams;
      }
      const prices = new Float64Array(8).fill(1);
      const run = startFit(recipeTable(recipes), there, prices);
      while (!run.step(100_000));
      const chosen = run.chosen() ?? [];
      expect(chosen).toHaveLength(12);
      const used = there.map(() => 0);
      chosen.forEach((at, colour) => {
        for (const { block, grams } of recipes[colour][at ?? 0].uses) used[block] += grams;
      });
      expect(fits(used, there)).toBe(true);
    }
    const nothing = startFit(
      recipeTable(recipesOf(1, 8, 3, 4)),
      new Array(8).fill(1),
      new Float64Array(8),
    );
    expect([nothing.step(1), nothing.chosen()]).toEqual([true, undefined]);
  });
});
