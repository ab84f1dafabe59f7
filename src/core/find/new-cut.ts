import { sharesOfParts } from '../clay/mixture.ts';
import type { Predictor } from '../clay/predict.ts';
import type { Lab } from '../colour/triples.ts';
import type { ColourWeights } from '../colour/weights.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { startSearch } from '../search/search.ts';
import type { SearchHit } from '../search/search-options.ts';
import { MATCH, verdictLimit } from '../verdict/verdict.ts';
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

/** A cut that is expected within this of the closest is as good, and the one that changes less is taken, dE00. */
const AS_GOOD = 0.3;
/** One more clay is worth its trouble where it brings so much, dE00. */
const WORTH_A_CLAY = 0.5;
/** What one more part costs, as a share of changed clay: 1 : 2 is easier to cut than 11 : 21. */
const OF_A_PART = 0.004;
const LOOKED_AT = 200;
/** A recipe of more parts is cut again in as many, up to this. */
const MOST_PARTS = 40;
/** Closer than this nobody sees a difference, so the least change counts. */
const SAME = verdictLimit('same');

/**
 * The cut of the same clays that gives a colour again with the least change; with one more clay where those
 * cannot give it.
 * Returns: undefined where no cut comes closer than the recipe is
 */
export function* newCut(
  predictor: Predictor,
  task: NewCutTask,
  apart: number,
): WorkSteps<NewCut | undefined> {
  const own = task.recipe.map(({ clay }) => clay);
  const all = task.recipe.reduce((sum, { parts }) => sum + parts, 0);
  const most = Math.max(task.parts, Math.min(MOST_PARTS, Math.ceil(all)));
  const same = leastChange(task.recipe, yield* closest(predictor, task, own, most));
  let best = same;
  const reached = same?.dE00 ?? Number.POSITIVE_INFINITY;
  if (Math.min(reached, apart) > MATCH) {
    const hits: SearchHit[] = [];
    for (const clay of task.others) {
      if (own.includes(clay)) continue;
      hits.push(...(yield* closest(predictor, task, [...own, clay], task.parts)));
    }
    const wider = leastChange(task.recipe, hits);
    if (wider !== undefined && wider.dE00 < reached - WORTH_A_CLAY) best = wider;
  }
  if (best === undefined || best.dE00 > apart - AS_GOOD) return undefined;
  const added = best.parts.find(({ clay }) => !own.includes(clay))?.clay;
  return {
    parts: best.parts,
    change: best.change,
    ...(added === undefined ? {} : { added }),
  };
}

interface Found extends NewCut {
  readonly dE00: number;
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
    top: LOOKED_AT,
  });
  yield { what: 'looking for the new cut', run };
  return run.best();
}

function leastChange(recipe: WholeParts, hits: readonly SearchHit[]): Found | undefined {
  if (hits.length === 0) return undefined;
  const least = Math.min(...hits.map(({ dE00 }) => dE00));
  const good = hits.filter(({ dE00 }) => dE00 <= Math.max(least + AS_GOOD, SAME));
  const rated = good.map(({ parts, dE00 }) => {
    const change = changeOf(recipe, parts);
    const all = parts.reduce((sum, one) => sum + one.parts, 0);
    return { parts, dE00, change, cost: change + OF_A_PART * all };
  });
  const [{ parts, dE00, change }] = rated.sort((one, other) => one.cost - other.cost);
  return { parts, dE00, change };
}

/** Share of the clay that is another in the second mix. */
function changeOf(before: WholeParts, after: WholeParts): number {
  const was = new Map(sharesOfParts(before).map(({ clay, share }) => [clay, share]));
  return sharesOfParts(after).reduce(
    (sum, { clay, share }) => sum + Math.max(0, share - (was.get(clay) ?? 0)),
    0,
  );
}
