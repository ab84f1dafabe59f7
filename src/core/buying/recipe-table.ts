import type { ShopRecipe } from './shopping-asked.ts';

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
