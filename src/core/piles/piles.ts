import type { Task, WorkSteps } from '../find/work-steps.ts';
import { type HeldBlocks, type Makeable, makeableFrom } from './makeable.ts';
import type { Reach, ReachRun } from './reach.ts';
import { type BlockTerms, type SetFound, smallestSets } from './smallest-set.ts';

/** Two piles: the blocks to buy, and a recipe of those for each of the others. */
export interface Piles {
  /** The piles hold from this tolerance on: the largest difference of a mixed block, dE00. */
  readonly from: number;
  readonly held: HeldBlocks;
  readonly cost: number;
  /** Blocks that are never bought and cannot be mixed from the rest. */
  readonly unmakeable: readonly number[];
  /** Whether no set costs less. */
  readonly proven: boolean;
}

export interface PilesAsked {
  readonly terms: readonly BlockTerms[];
  /** How close a mixed block must come, dE00. */
  readonly tolerance: number;
  /** Also for every smaller tolerance down to this one. */
  readonly downTo?: number;
}

export interface PilesFound {
  /** At the tolerance asked; undefined where the search was stopped before there were any. */
  readonly piles: Piles | undefined;
  /** One for every number of blocks bought, the largest tolerance first. */
  readonly frontier: readonly Piles[];
  readonly reach: Reach;
  readonly makeable: Makeable;
  /** Whether every recipe was looked at. */
  readonly whole: boolean;
}

/** Tolerances closer than this are one, dE00. */
const A_HAIR = 1e-9;

/**
 * The cheapest set of blocks from which all the others are mixed, jointly: a recipe uses bought blocks only.
 * Of sets that cost the same the one whose farthest colour is closest.
 * Shape: the run that looks at all recipes, up to the tolerance; `tell` is how far it is
 * Holds: where `whole` and `proven`, no set of these blocks costs less
 */
export function* findingPiles(run: ReachRun, asked: PilesAsked): WorkSteps<PilesFound> {
  const { terms, tolerance, downTo = tolerance } = asked;
  const looking: Task = { what: 'looking at every recipe', run };
  const whole = (yield looking) === 'whole';
  const reach = run.reach();
  const makeable = makeableFrom(reach);
  const sets = smallestSets(makeable, terms);
  const frontier: Piles[] = [];
  let at = tolerance;
  let last: SetFound | undefined;
  let lastLeftOut: ReadonlySet<number> = new Set();
  for (;;) {
    const leftOut = new Set(sets.unmakeable(at));
    const found = yield* sets.at(at, leftOut, last?.held);
    if (found === undefined) break;
    const isDearer =
      last !== undefined && (found.cost > last.cost || leftOut.size > lastLeftOut.size);
    if (isDearer && last !== undefined) {
      frontier.push(pilesOf(last, lastLeftOut, whole));
      if (last.worst <= downTo) {
        last = undefined;
        break;
      }
    }
    [last, lastLeftOut] = [found, leftOut];
    if (found.worst === 0) break;
    at = found.worst - A_HAIR;
  }
  if (last !== undefined) frontier.push(pilesOf(last, lastLeftOut, whole));
  return { piles: frontier[0], frontier, reach, makeable, whole };
}

function pilesOf(
  { held, cost, worst, proven }: SetFound,
  leftOut: ReadonlySet<number>,
  whole: boolean,
): Piles {
  return { from: worst, held, cost, unmakeable: [...leftOut], proven: proven && whole };
}

/**
 * Blocks that may stand in for a bought one: bought instead of it, all the others can still be mixed.
 * Returns: by bought block the others, none for a pinned one
 */
export function exchangeable(
  makeable: Makeable,
  { held, unmakeable }: Piles,
  terms: readonly BlockTerms[],
  tolerance: number,
): ReadonlyMap<number, readonly number[]> {
  const out = new Map<number, readonly number[]>();
  const without = new Set(unmakeable);
  for (let bought = 0; bought < makeable.size; bought++) {
    if (held[bought] === 0 || terms[bought].pinned === 'always') continue;
    const others: number[] = [];
    for (let other = 0; other < makeable.size; other++) {
      const { pinned, cost } = terms[other];
      if (held[other] === 1 || pinned === 'never' || cost > terms[bought].cost) continue;
      const changed = Uint8Array.from(held);
      changed[bought] = 0;
      changed[other] = 1;
      const holds = terms.every(
        (_, block) =>
          changed[block] === 1 ||
          without.has(block) ||
          makeable.closest(block, changed, tolerance) !== undefined,
      );
      if (holds) others.push(other);
    }
    out.set(bought, others);
  }
  return out;
}
