import { describe, expect, it } from 'vitest';
import { startMending } from './mend-list.ts';
import { recipeTable } from './recipe-table.ts';
import type { ShopBlock } from './shopping-asked.ts';

const block = (cost: number, onHandG = 0, isClosed = false): ShopBlock => ({
  ...{ packageG: 50, cost, onHandG, isClosed, line: 'A' },
});
const of = (grams: number, ...blocks: readonly number[]) => ({
  uses: blocks.map((at) => ({ block: at, grams: grams / blocks.length })),
});

function mended(
  blocks: readonly ShopBlock[],
  recipes: readonly (readonly ReturnType<typeof of>[])[],
  from: readonly (number | undefined)[],
) {
  const run = startMending(blocks, recipeTable(recipes), from);
  while (!run.step(1000));
  return run.chosen();
}

describe('a list made cheaper', () => {
  it('uses what is at hand before a package is bought', () => {
    const blocks = [block(300), block(200, 60)];
    expect(mended(blocks, [[of(60, 0), of(60, 1)]], [0])).toEqual([1]);
  });

  it('shares one package between colours that each alone are cheaper elsewhere', () => {
    const blocks = [block(200), block(200), block(250)];
    const recipes = [
      [of(25, 0), of(25, 2)],
      [of(25, 1), of(25, 2)],
    ];
    expect(mended(blocks, recipes, [0, 0])).toEqual([1, 1]);
  });

  it('takes no more of a block that is never bought than there is', () => {
    const blocks = [block(1, 60, true), block(100)];
    const recipes = [
      [of(40, 0), of(40, 1)],
      [of(40, 0), of(40, 1)],
    ];
    const chosen = mended(blocks, recipes, [1, 1]);
    expect([...(chosen ?? [])].sort()).toEqual([0, 1]);
  });

  it('leaves a colour without a recipe as before', () => {
    expect(mended([block(1)], [[], [of(10, 0)]], [undefined, 0])).toEqual([undefined, 0]);
  });
});
