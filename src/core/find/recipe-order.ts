/** Orders of the recipes in an answer; the first is the usual one. */
export const ORDERS = ['likely', 'closest', 'fewest', 'cheapest'] as const;
export type Order = (typeof ORDERS)[number];

/** What recipes are put in order by. */
interface Ordered {
  readonly parts: readonly unknown[];
  readonly dE00: number;
  /** 0-1. */
  readonly chance: number;
  readonly priceMinorPerKg?: number;
}

/** Chances this close are equal, so that rounding does not decide which comes first. */
const EQUAL = 1e-9;

/**
 * Recipes in the order asked for.
 * Shape:   recipes by rising dE00, tolerance in dE00 -> the same recipes
 * Holds:   `likely`: by falling chance. `fewest` clays and `cheapest`: those within the tolerance
 *          first, and where as many clays are needed or no price is known, the likelier first. Equals
 *          stay by rising dE00
 */
export function recipesInOrder<Recipe extends Ordered>(
  recipes: readonly Recipe[],
  order: Order,
  tolerance: number,
): readonly Recipe[] {
  if (order === 'closest') return recipes;
  const likelier = (one: Recipe, other: Recipe) =>
    Math.round(other.chance / EQUAL) - Math.round(one.chance / EQUAL);
  if (order === 'likely') return recipes.toSorted(likelier);
  const cost = ({ parts, priceMinorPerKg }: Recipe) =>
    order === 'fewest' ? parts.length : (priceMinorPerKg ?? Number.MAX_VALUE);
  const isFar = ({ dE00 }: Recipe) => (dE00 <= tolerance ? 0 : 1);
  return recipes.toSorted(
    (one, other) => isFar(one) - isFar(other) || cost(one) - cost(other) || likelier(one, other),
  );
}
