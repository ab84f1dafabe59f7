import type { SearchHit } from './search-options.ts';

export const ALTERNATIVE_REASONS = [
  'fewest clays',
  'fewest parts',
  'cheapest',
  'other clays',
] as const;
export type AlternativeReason = (typeof ALTERNATIVE_REASONS)[number];

export interface Alternative {
  readonly reason: AlternativeReason;
  readonly recipe: SearchHit;
}

/** Two recipes whose sets share at most this share of clays are really different. */
const SHARED = 0.5;
const MOST_DIFFERENT = 3;
/**
 * Beyond the tolerance, a recipe is worth showing when it is hardly farther off than the closest,
 * dE00.
 */
const HARDLY_FARTHER = 2;

/**
 * Other recipes worth showing beside the closest: fewer clays, fewer parts, a lower price, other
 * clays.
 * Shape:   recipes by rising error; price of a recipe in any unit, undefined where not known
 * Holds:   the first recipe is not among them; fewer clays, parts or a lower price are shown only
 *          where no closer recipe has as few, within `enough` of the aim or, if that cannot be
 *          reached, hardly farther than the best; other clays are at most half those of the first
 *          and of each other
 */
export function alternativesTo(
  recipes: readonly SearchHit[],
  enough: number,
  priceOf: (recipe: SearchHit) => number | undefined,
): readonly Alternative[] {
  const [best, ...rest] = recipes;
  if (best === undefined) return [];
  const limit = Math.max(enough, best.dE00 + Math.min(best.dE00 / 2, HARDLY_FARTHER));
  const near = rest.filter(({ dE00 }) => dE00 <= limit);
  const out: Alternative[] = [];
  const taken = new Set<SearchHit>([best]);
  const add = (reason: AlternativeReason, recipe: SearchHit | undefined) => {
    if (recipe === undefined || taken.has(recipe)) return;
    taken.add(recipe);
    out.push({ reason, recipe });
  };
  add(
    'fewest clays',
    fewest(best, near, ({ parts }) => parts.length),
  );
  add('fewest parts', fewest(best, near, totalOf));
  add(
    'cheapest',
    fewest(best, near, (recipe) => priceOf(recipe)),
  );
  const different = [best];
  for (const recipe of near) {
    if (different.length > MOST_DIFFERENT) break;
    if (different.some((other) => sharedClays(other, recipe) > SHARED)) continue;
    different.push(recipe);
    add('other clays', recipe);
  }
  return out;
}

/**
 * Recipes for which no closer one is as good in clays, parts and price. A recipe of unknown price
 * beats none.
 */
export function frontierOf(
  recipes: readonly SearchHit[],
  priceOf: (recipe: SearchHit) => number | undefined,
): readonly SearchHit[] {
  const chosen: { recipe: SearchHit; costs: readonly number[] }[] = [];
  for (const recipe of recipes) {
    const costs = [
      recipe.parts.length,
      totalOf(recipe),
      priceOf(recipe) ?? Number.POSITIVE_INFINITY,
    ];
    const beaten = chosen.some((other) => other.costs.every((cost, i) => cost <= costs[i]));
    if (!beaten) chosen.push({ recipe, costs });
  }
  return chosen.map(({ recipe }) => recipe);
}

/** The closest of those with the least of something, if that is less than the best recipe has. */
function fewest(
  best: SearchHit,
  near: readonly SearchHit[],
  of: (recipe: SearchHit) => number | undefined,
): SearchHit | undefined {
  let least = of(best) ?? Number.POSITIVE_INFINITY;
  let found: SearchHit | undefined;
  for (const recipe of near) {
    const value = of(recipe);
    if (value === undefined || value >= least - 1e-9) continue;
    least = value;
    found = recipe;
  }
  return found;
}

function totalOf({ parts }: SearchHit): number {
  return parts.reduce((sum, part) => sum + part.parts, 0);
}

/** Number of clays in both, divided by the number in the smaller. */
function sharedClays(one: SearchHit, other: SearchHit): number {
  const mine = new Set(one.parts.map(({ clay }) => clay));
  const both = other.parts.filter(({ clay }) => mine.has(clay)).length;
  return both / Math.min(one.parts.length, other.parts.length);
}
