import type { Predictor } from '../clay/predict.ts';
import type { Lab } from '../colour/triples.ts';
import { invalidInput } from '../errors.ts';
import { closeColours } from './close-colours.ts';
import { type WalkOptions, walkRecipes } from './recipe-walk.ts';

/** Differences closer than this are one, dE00. */
const A_HAIR = 1e-9;

/** A set of clays that reaches a colour, with the closest of its recipes. */
export interface Support {
  /** Places among the clays looked at, rising. */
  readonly clays: readonly number[];
  /** Whole parts of each. */
  readonly counts: readonly number[];
  readonly lab: Lab;
  /** 0 for a saved mix, which counts at every tolerance. */
  readonly dE00: number;
  /** The user saved this mix as good enough for the block. */
  readonly isSaved?: true;
}

/** Each clay is also a colour to reach without itself. */
export interface ReachOptions extends WalkOptions {
  /** Colour of each clay, D50 and 2 degrees. */
  readonly labs: readonly Lab[];
  /** Recipes farther than this from a colour are not kept, dE00. */
  readonly within: number;
  /** Whether a set of clays may stand for a block, by place; a flat block wants flat clays. */
  readonly mayServe: (block: number, set: readonly number[]) => boolean;
}

/** Which sets of clays reach the colour of each block. */
export interface Reach {
  /** By block: every set that comes closer than all its own subsets, the closest first. */
  readonly supports: readonly (readonly Support[])[];
  /** By block: the closest recipe of all, also beyond `within`. */
  readonly closest: readonly (Support | undefined)[];
  /** By block: the closest of the sets that may not serve. */
  readonly barred: readonly (Support | undefined)[];
  /** Recipes looked at. */
  readonly tried: number;
}

export interface ReachRun {
  /** Looks at about so many more recipes; true at the end. */
  step(budget: number): boolean;
  readonly settled: number;
  readonly total: number;
  reach(): Reach;
}

/**
 * Every recipe of the clays, once, and for each block the sets of clays that reach its colour without it. One
 * pass serves every tolerance up to `within`, and every choice of blocks.
 * Refuses: colours that are not one a clay, more than 3 clays a recipe -> invalid-input; as `searchProblem` does
 * Holds:   a set is kept only where it is closer than all its subsets, since a set that holds it holds them
 */
export function startReach(predictor: Predictor, options: ReachOptions): ReachRun {
  const { clays, labs, within, mayServe } = options;
  const size = clays.length;
  if (labs.length !== size) throw invalidInput('Each clay needs its own colour.');
  const best = bestOfSubsets(size);
  const supports: Support[][] = labs.map(() => []);
  const closest = new Array<Support | undefined>(size).fill(undefined);
  const barred = new Array<Support | undefined>(size).fill(undefined);
  // Of the set at hand: the closest recipe for each block.
  const least = new Float64Array(size);
  const leastCounts: (readonly number[] | undefined)[] = [];
  const leastLab = new Float64Array(3 * size);
  const colours = closeColours(labs, within + A_HAIR);
  const found: number[] = [];
  let set: readonly number[] = [];
  const walk = walkRecipes(predictor, options, {
    begin(next) {
      set = next;
      colours.limit(capOf);
      return size > 1;
    },
    recipe(lab, counts) {
      colours.visit(lab, (block, dE00) => {
        if (leastCounts[block] === undefined) found.push(block);
        least[block] = dE00;
        leastCounts[block] = counts;
        leastLab.set(lab, 3 * block);
        colours.narrow(block, dE00);
      });
    },
    end() {
      for (const block of found.sort((one, other) => one - other)) {
        const counts = leastCounts[block];
        if (counts !== undefined) keep(block, counts);
        leastCounts[block] = undefined;
      }
      found.length = 0;
    },
  });
  return {
    step: (budget) => walk.step(budget),
    get settled() {
      return walk.settled;
    },
    total: walk.total,
    reach: () => ({
      supports: supports.map((own) => [...own].sort((one, other) => one.dE00 - other.dE00)),
      closest,
      barred,
      tried: walk.tried,
    }),
  };

  /** Only closer recipes of the set matter for a block; 0 where none does. */
  function capOf(block: number): number {
    if (set.includes(block)) return 0;
    const far = Number.POSITIVE_INFINITY;
    if (!mayServe(block, set)) return barred[block]?.dE00 ?? far;
    const asSupport = Math.min(within + A_HAIR, best.ofSubsets(block, set));
    return Math.max(closest[block]?.dE00 ?? far, asSupport);
  }

  function keep(block: number, counts: readonly number[]): void {
    const dE00 = least[block];
    const serves = mayServe(block, set);
    const kept = serves ? closest : barred;
    const isClosest = dE00 < (kept[block]?.dE00 ?? Number.POSITIVE_INFINITY);
    const isSupport = serves && dE00 <= within && dE00 < best.ofSubsets(block, set);
    if (!isClosest && !isSupport) return;
    const [l, a, b] = leastLab.subarray(3 * block, 3 * block + 3);
    const support = { clays: [...set], counts, lab: [l, a, b] as const, dE00 };
    if (isClosest) kept[block] = support;
    if (!isSupport) return;
    supports[block].push(support);
    best.keep(block, set, dE00);
  }
}

/**
 * The same run with mixes that the user saved as good enough: each reaches its block at every tolerance.
 * Shape: places of the clays rising
 */
export function withSavedMixes(
  run: ReachRun,
  saved: readonly ({ readonly block: number } & Pick<Support, 'clays' | 'counts' | 'lab'>)[],
): ReachRun {
  if (saved.length === 0) return run;
  return {
    step: (budget) => run.step(budget),
    get settled() {
      return run.settled;
    },
    total: run.total,
    reach() {
      const found = run.reach();
      const supports = found.supports.map((own, block) => [
        ...saved.flatMap(({ block: of, clays, counts, lab }): Support[] =>
          of === block ? [{ clays, counts, lab, dE00: 0, isSaved: true }] : [],
        ),
        ...own,
      ]);
      return { ...found, supports };
    },
  };
}

/** The best of single clays and pairs by block, which larger sets must beat. */
function bestOfSubsets(size: number) {
  const ones = new Float64Array(size * size).fill(Number.POSITIVE_INFINITY);
  const pairs = new Float64Array(size * size * size).fill(Number.POSITIVE_INFINITY);
  const pairAt = (block: number, one: number, other: number) => (block * size + one) * size + other;
  return {
    ofSubsets(block: number, set: readonly number[]): number {
      let least = Number.POSITIVE_INFINITY;
      if (set.length > 1) for (const one of set) least = Math.min(least, ones[block * size + one]);
      if (set.length > 2) {
        const [i, j, k] = set;
        least = Math.min(least, pairs[pairAt(block, i, j)], pairs[pairAt(block, i, k)]);
        least = Math.min(least, pairs[pairAt(block, j, k)]);
      }
      return least;
    },
    keep(block: number, set: readonly number[], dE00: number): void {
      if (set.length === 1) ones[block * size + set[0]] = dE00;
      if (set.length === 2) pairs[pairAt(block, set[0], set[1])] = dE00;
    },
  };
}
