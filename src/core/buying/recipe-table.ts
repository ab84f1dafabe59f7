import { lowest } from '../numeric/lowest.ts';
import type { ShopRecipe } from './shopping-asked.ts';

/** Grams more than there are that do not count. */
export const A_HAIR_G = 1e-6;

/** The recipes of all colours in flat arrays, to walk through by the million. */
export interface RecipeTable {
  /** Colour c has the recipes from `starts[c]` to `starts[c + 1]`. */
  readonly starts: Int32Array;
  /** Recipe r has the uses from `uses[r]` to `uses[r + 1]`. */
  readonly uses: Int32Array;
  /** Of each use: the place of the block, and its grams. */
  readonly blocks: Uint16Array;
  readonly grams: Float64Array;
}

export function recipeTable(recipes: readonly (readonly ShopRecipe[])[]): RecipeTable {
  const count = recipes.reduce((sum, own) => sum + own.length, 0);
  const useCount = recipes.reduce(
    (sum, own) => own.reduce((all, { uses }) => all + uses.length, sum),
    0,
  );
  const starts = new Int32Array(recipes.length + 1);
  const uses = new Int32Array(count + 1);
  const blocks = new Uint16Array(useCount);
  const grams = new Float64Array(useCount);
  let recipe = 0;
  let at = 0;
  for (const [colour, own] of recipes.entries()) {
    for (const one of own) {
      for (const use of one.uses) {
        blocks[at] = use.block;
        grams[at] = use.grams;
        at++;
      }
      recipe++;
      uses[recipe] = at;
    }
    starts[colour + 1] = recipe;
  }
  return { starts, uses, blocks, grams };
}

/**
 * The recipes of a colour whose grams are worth least, of those that alone need no more of any block than there
 * is, the least first.
 * Shape:   places in the table; `prices` per gram and `there` in grams, by block
 */
export function worthLeast(
  table: RecipeTable,
  colour: number,
  {
    most,
    prices,
    there,
  }: {
    readonly most: number;
    readonly prices: ArrayLike<number>;
    readonly there: readonly number[];
  },
): readonly number[] {
  const { starts, uses, blocks, grams } = table;
  const first = starts[colour];
  const found = lowest(starts[colour + 1] - first, most, (at) => {
    if (!fitsAlone(table, first + at, there)) return Number.POSITIVE_INFINITY;
    let worth = 0;
    for (let use = uses[first + at]; use < uses[first + at + 1]; use++) {
      worth += grams[use] * prices[blocks[use]];
    }
    return worth;
  });
  return found.map((at) => first + at);
}

/** Whether a recipe alone needs no more of any block than there is, in grams by block. */
export function fitsAlone(
  { uses, blocks, grams }: RecipeTable,
  recipe: number,
  there: readonly number[],
) {
  for (let use = uses[recipe]; use < uses[recipe + 1]; use++) {
    if (grams[use] > there[blocks[use]] + A_HAIR_G) return false;
  }
  return true;
}
