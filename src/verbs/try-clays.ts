import { type ClayClass, classOf } from '../core/clay/clay-class.ts';
import type { Predictor } from '../core/clay/predict.ts';
import type { WorkSteps } from '../core/find/work-steps.ts';
import { startSearch } from '../core/search/search.ts';
import type { SearchOptions } from '../core/search/search-options.ts';
import { countRecipes } from '../core/search/search-problem.ts';

/** Past this many recipes one look at all of them would take more than half a minute. */
const MOST_RECIPES = 40_000_000;
/** The quick find that says which clays can come close. */
const QUICK = { mostClays: 3, parts: 8, top: 60 };
/** Whites and blacks that are taken along, of each. */
const HELPERS = 2;

/**
 * Which clays to roll test balls of, where all mixes of all of them are too many to look at: those of the
 * balls rolled so far, whites and blacks, and those of the recipes that come closest to the aim.
 * Returns: undefined where all clays can be looked at
 */
export function* claysToTry(
  predictor: Predictor,
  search: Pick<SearchOptions, 'aim' | 'weights' | 'clays' | 'mostClays' | 'parts'>,
  rolled: readonly number[],
): WorkSteps<readonly number[] | undefined> {
  const { clays, mostClays, parts } = search;
  const fits = (count: number) => countRecipes(count, mostClays, parts) <= MOST_RECIPES;
  if (fits(clays.length)) return undefined;
  const run = startSearch(predictor, {
    ...search,
    mostClays: Math.min(QUICK.mostClays, mostClays),
    parts: Math.min(QUICK.parts, parts),
    top: QUICK.top,
  });
  yield { what: 'choosing clays', run };
  const ofClass = (wanted: ClayClass) =>
    clays.filter((clay) => classOf(predictor.model, clay) === wanted).slice(0, HELPERS);
  const useful = [
    ...rolled.filter((clay) => clays.includes(clay)),
    ...ofClass('white'),
    ...ofClass('black'),
    ...run.best().flatMap((recipe) => recipe.parts.map(({ clay }) => clay)),
  ];
  const chosen = new Set<number>();
  for (const clay of useful) if (chosen.has(clay) || fits(chosen.size + 1)) chosen.add(clay);
  return [...chosen];
}
