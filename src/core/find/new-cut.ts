import { sharesOfParts } from '../clay/mixture.ts';
import type { Predictor } from '../clay/predict.ts';
import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { startSearch } from '../search/search.ts';
import type { SearchHit } from '../search/search-options.ts';
import { MATCH } from '../verdict/verdict.ts';
import type { WorkSteps } from './work-steps.ts';

export interface NewCutTask {
  /** The recipe to change, by the clays it is now made of. */
  readonly recipe: WholeParts;
  /** The colour it is to keep. */
  readonly aim: Lab;
  readonly weights: ColourWeights;
  /** Most whole parts. */
  readonly parts: number;
  /** Clays that may be added where the recipe's own do not come close, by index. */
  readonly others: readonly number[];
}

/** The same colour with the least change. */
export interface NewCut {
  readonly parts: WholeParts;
  /** Share of the clay that is another than before, 0-1. */
  readonly change: number;
  /** Clay that the recipe did not have. */
  readonly added?: number;
}

/** A cut that is expected within this of the best is as good, and the one that changes less is taken, dE00. */
const AS_GOOD = 0.15;
/** A new cut is worth its trouble where it brings so much, and one more clay where it brings so much more, dE00. */
const WORTH_IT = 0.3;
const WORTH_A_CLAY = 0.5;
/** What one more part costs, as a share of changed clay: 1 : 2 is easier to cut than 11 : 21. */
const OF_A_PART = 0.004;
/** Cuts listed by the search, and those of them that are looked at closely: close ones that change little, dE00 a share. */
const LISTED = 200;
const LOOKED_AT = 16;
const OF_CHANGE = 4;
/** A recipe of more parts is cut again in as many, up to this. */
const MOST_PARTS = 40;

/**
 * The cut of the same clays that gives a colour again with the least change; with one more clay where those
 * cannot give it.
 * Shape:   the recipe as it is now made, how far it is expected to be off as it is, and how far any cut is: the
 *          more a cut changes, the less sure it is
 * Returns: undefined where no cut is expected clearly closer
 */
export function* newCut(
  predictor: Predictor,
  task: NewCutTask,
  asItIs: number,
  expected: (parts: WholeParts, isAdded: boolean) => number,
): WorkSteps<NewCut | undefined> {
  const own = task.recipe.map(({ clay }) => clay);
  const all = task.recipe.reduce((sum, { parts }) => sum + parts, 0);
  const most = Math.max(task.parts, Math.min(MOST_PARTS, Math.ceil(all)));
  const rate = (hits: readonly SearchHit[], isAdded: boolean) =>
    leastChange(task.recipe, hits, (parts) => expected(parts, isAdded));
  let best = rate(yield* closest(predictor, task, own, most), false);
  const reached = Math.min(asItIs, best?.off ?? asItIs);
  if (reached > MATCH) {
    const hits: SearchHit[] = [];
    for (const clay of task.others) {
      if (own.includes(clay)) continue;
      hits.push(...(yield* closest(predictor, task, [...own, clay], task.parts)));
    }
    const wider = rate(
      hits.filter(({ parts }) => parts.some(({ clay }) => !own.includes(clay))),
      true,
    );
    if (wider !== undefined && wider.off < reached - WORTH_A_CLAY) best = wider;
  }
  if (best === undefined || best.off > asItIs - WORTH_IT) return undefined;
  const added = best.parts.find(({ clay }) => !own.includes(clay))?.clay;
  return {
    parts: best.parts,
    change: best.change,
    ...(added === undefined ? {} : { added }),
  };
}

interface Found extends NewCut {
  readonly off: number;
}

function* closest(
  predictor: Predictor,
  { aim, weights }: NewCutTask,
  clays: readonly number[],
  parts: number,
): WorkSteps<readonly SearchHit[]> {
  const run = startSearch(predictor, {
    aim,
    weights,
    clays,
    mostClays: clays.length,
    parts: Math.max(parts, clays.length),
    top: LISTED,
  });
  yield { what: 'looking for the new cut', run };
  return run.best();
}

function leastChange(
  recipe: WholeParts,
  hits: readonly SearchHit[],
  expected: (parts: WholeParts) => number,
): Found | undefined {
  const looked = hits
    .map(({ parts, dE00 }) => ({ parts, dE00, change: changeOf(recipe, parts) }))
    .sort((one, other) => roughly(one) - roughly(other))
    .slice(0, LOOKED_AT)
    .map(({ parts, change }) => ({ parts, change, off: expected(parts) }));
  const least = Math.min(...looked.map(({ off }) => off));
  return looked
    .filter(({ off }) => off <= least + AS_GOOD)
    .sort((one, other) => costOf(one) - costOf(other))[0];
}

function roughly({ dE00, change }: { readonly dE00: number; readonly change: number }): number {
  return dE00 + OF_CHANGE * change;
}

function costOf({ parts, change }: NewCut): number {
  return change + OF_A_PART * parts.reduce((sum, one) => sum + one.parts, 0);
}

/** Share of the clay that is another in the second mix. */
function changeOf(before: WholeParts, after: WholeParts): number {
  const was = new Map(sharesOfParts(before).map(({ clay, share }) => [clay, share]));
  return sharesOfParts(after).reduce(
    (sum, { clay, share }) => sum + Math.max(0, share - (was.get(clay) ?? 0)),
    0,
  );
}
