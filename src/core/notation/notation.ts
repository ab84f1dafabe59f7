import { AppError } from '../errors.ts';
import { clayKey, writtenName } from './clay-name.ts';
import { EXAMPLE, RecipeReader } from './notation-reader.ts';
import { RECIPE_LIMITS, type Recipe } from './terms.ts';

export { clayKey } from './clay-name.ts';
export { RECIPE_LIMITS, type Recipe } from './terms.ts';

/** The share of one clay in the whole mix. */
export interface RecipeShare {
  /** `clayKey` of the name. */
  readonly key: string;
  /** The name as first spelt in the recipe. */
  readonly clay: string;
  /** 0-1; the shares of a recipe sum to 1. */
  readonly share: number;
}

/**
 * A recipe as people write it: `5 Kelp + 2 Foam`, `3 x Kelp`, `1 1/2 White + ½ P01`, `30 % Kelp + 70 % Foam`.
 * No amount is one part; a decimal comma is understood; with thirds and the like all clays are counted
 * out in whole parts; a name that contains a plus or starts like a number goes in double quotes (doubled
 * inside); a term that opens with `(` is a mix of a mix: `3 (2 Kelp + 1 Foam) + 1 Sand` is three parts of
 * that mix, given as 2 Kelp, 1 Foam, 1 Sand.
 * Refuses: what can be read in two ways, amounts outside RECIPE_LIMITS, per cent of some clays only or with
 *          a sum that is not about 100, text past RECIPE_LIMITS -> recipe-unreadable, with the place, what
 *          was found and what was expected
 * Holds:   parseRecipe(formatRecipe(x)) = x for every x that parseRecipe gives
 */
export function parseRecipe(text: string): Recipe {
  if (text.length > RECIPE_LIMITS.characters) {
    throw new AppError({
      code: 'recipe-unreadable',
      kind: 'bad-input',
      detail: `A recipe of ${text.length} characters: at most ${RECIPE_LIMITS.characters} are read.`,
      hint: EXAMPLE,
    });
  }
  return new RecipeReader(text).whole();
}

/**
 * A recipe as text, e.g. `5 Kelp + 2 Foam`; a clay alone is its name.
 * Refuses: an empty recipe, parts that are not finite and positive -> recipe-unwritable
 */
export function formatRecipe(recipe: Recipe): string {
  checkRecipe(recipe);
  if (recipe.length === 1 && recipe[0].parts === 1) return writtenName(recipe[0].clay);
  return recipe.map((t) => `${t.parts} ${writtenName(t.clay)}`).join(' + ');
}

/**
 * The shares of a mix: parts over their sum; a clay named twice is added up.
 * Shape:   n terms -> at most n shares, in order of first mention
 * Refuses: an empty recipe, parts that are not finite and positive -> recipe-unwritable
 */
export function sharesOf(recipe: Recipe): readonly RecipeShare[] {
  checkRecipe(recipe);
  const sums = new Map<string, { clay: string; parts: number }>();
  let total = 0;
  for (const { clay, parts } of recipe) {
    const key = clayKey(clay);
    const known = sums.get(key);
    if (known === undefined) sums.set(key, { clay, parts });
    else known.parts += parts;
    total += parts;
  }
  return [...sums].map(([key, { clay, parts }]) => ({ key, clay, share: parts / total }));
}

function checkRecipe(recipe: Recipe): void {
  const bad = recipe.find((t) => !(t.parts > 0 && t.parts < Number.POSITIVE_INFINITY));
  if (recipe.length > 0 && bad === undefined) return;
  throw new AppError({
    code: 'recipe-unwritable',
    kind: 'bad-input',
    detail:
      bad === undefined
        ? 'The recipe has no clays.'
        : `The recipe has ${bad.parts} parts of ${bad.clay}.`,
    hint: 'Give every clay a count above 0.',
  });
}
