import type { Predictor } from '../clay/predict.ts';
import { deltaE2000At } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { wholeParts } from '../search/composition-tree.ts';
import { countRecipes, searchProblem } from '../search/search-problem.ts';

/** Differences closer than this are one, dE00. */
const A_HAIR = 1e-9;

/** Most clays of one recipe that are looked at all together. */
export const MOST_CLAYS_TOGETHER = 3;

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

export interface ReachOptions {
  /** Clays that recipes may use, as indices into the model. Each is also a colour to reach without itself. */
  readonly clays: readonly number[];
  /** Colour of each, D50 and 2 degrees. */
  readonly labs: readonly Lab[];
  readonly mostClays: number;
  readonly parts: number;
  /** Recipes farther than this from a colour are not kept, dE00. */
  readonly within: number;
  /** Whether a set of clays may stand for a block, by place; a flat block wants flat clays. */
  readonly mayServe: (block: number, set: readonly number[]) => boolean;
  /** How much clay one part holds, by index into the model; all alike when absent. */
  readonly amounts?: readonly number[];
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
  const { clays, labs, parts, within, mayServe } = options;
  const size = clays.length;
  if (labs.length !== size) throw invalidInput('Each clay needs its own colour.');
  const most = Math.min(options.mostClays, parts, size);
  if (most > MOST_CLAYS_TOGETHER) {
    throw invalidInput(`At most ${MOST_CLAYS_TOGETHER} clays a recipe are looked at together.`);
  }
  const problem = searchProblem(predictor, {
    aim: labs[0],
    weights: colourWeights('D50', 2),
    clays,
    mostClays: most,
    parts,
    top: 1,
    ...(options.amounts === undefined ? {} : { amounts: options.amounts }),
  });
  const recipes = Array.from({ length: most + 1 }, (_, n) => (n === 0 ? [] : rowsOf(n, parts)));
  const total = size < 2 ? 0 : countRecipes(size, most, parts);
  const best = bestOfSubsets(size);
  const supports: Support[][] = labs.map(() => []);
  const closest = new Array<Support | undefined>(size).fill(undefined);
  const barred = new Array<Support | undefined>(size).fill(undefined);
  const set = [0];
  let tried = 0;
  let ended = size < 2;
  const lab = new Float64Array(3);
  // Of the set at hand: the closest recipe for each block.
  const least = new Float64Array(size);
  const leastCounts: (readonly number[] | undefined)[] = [];
  const leastLab = new Float64Array(3 * size);

  return {
    step(budget) {
      const until = tried + budget;
      while (!ended && tried < until) {
        look();
        ended = !nextSet(set, size, most);
      }
      return ended;
    },
    get settled() {
      return total === 0 ? 1 : tried / total;
    },
    total,
    reach: () => ({
      supports: supports.map((own) => [...own].sort((one, other) => one.dE00 - other.dE00)),
      closest,
      barred,
      tried,
    }),
  };

  function look(): void {
    const n = set.length;
    for (let block = 0; block < size; block++) least[block] = capOf(block);
    for (const counts of recipes[n]) {
      tried++;
      problem.labInto(lab, set, counts, n);
      for (let block = 0; block < size; block++) {
        const limit = least[block];
        if (limit <= 0 || isFartherThan(limit, labs[block], lab)) continue;
        const [l, a, b] = labs[block];
        const dE00 = deltaE2000At(l, a, b, lab[0], lab[1], lab[2]);
        if (dE00 >= limit) continue;
        least[block] = dE00;
        leastCounts[block] = counts;
        leastLab.set(lab, 3 * block);
      }
    }
    for (let block = 0; block < size; block++) {
      const counts = leastCounts[block];
      if (counts === undefined) continue;
      keep(block, counts);
      leastCounts[block] = undefined;
    }
  }

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

/** Every way to share out whole parts among so many clays, one array each. */
export function rowsOf(n: number, parts: number): readonly (readonly number[])[] {
  const flat = wholeParts(n, parts);
  return Array.from({ length: flat.length / n }, (_, r) => [...flat.subarray(r * n, r * n + n)]);
}

/**
 * Whether two colours are farther apart than a limit, by a bound that is quick to work out.
 * Method:  S_L of CIEDE2000 is at most 1.75 and S_C and S_H at most 1 + 0.045 C', where C' is at most the mean
 *          chroma and 7; the term that turns blues is at least -1.74 times the product of the two, and nothing
 *          where neither colour is on the blue side
 * Source:  terms of CIEDE2000, [Sharma2005]; the bound is tested against the formula itself
 */
export function isFartherThan(limit: number, one: Lab, other: ArrayLike<number>): boolean {
  const lightness = (one[0] - other[0]) / 1.75;
  if (lightness * lightness > limit * limit) return true;
  const a = one[1] - other[1];
  const b = one[2] - other[2];
  const chroma = (Math.hypot(one[1], one[2]) + Math.hypot(other[1], other[2])) / 2;
  const most = 1 + 0.045 * (chroma + 7);
  const turned = one[2] >= 0 && other[2] >= 0 ? 0.999 : 0.13;
  return lightness * lightness + (turned * (a * a + b * b)) / (most * most) > limit * limit;
}

/** The next set in the order of the dictionary, shorter sets first; false after the last. */
export function nextSet(set: number[], size: number, most: number): boolean {
  for (let at = set.length - 1; at >= 0; at--) {
    if (set[at] >= size - set.length + at) continue;
    set[at]++;
    for (let i = at + 1; i < set.length; i++) set[i] = set[i - 1] + 1;
    return true;
  }
  if (set.length >= Math.min(most, size)) return false;
  const longer = set.length + 1;
  for (let i = 0; i < longer; i++) set[i] = i;
  return true;
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
