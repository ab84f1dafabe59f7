import { solved, type WorkSteps } from '../find/work-steps.ts';
import type { LinearRow } from '../numeric/linear-problem.ts';
import {
  notSolved,
  type PackageCut,
  type RecipeShares,
  type SharesRound,
} from './recipe-shares.ts';
import { OPTIMISER_STEPS, type ShoppingAsked } from './shopping-asked.ts';

/** Share of the cost that packages may be off the cheapest ones: while rows are looked for, and at the end. */
const GAPS = [0.002, 0.0002] as const;
/** Rounds of prices for one choice of packages at most. */
const MOST_ROUNDS = 12;
/** A row is new where the packages miss it by more than this, in units of cost. */
const CLEARLY = 1;
/** How fast the point from which packages are looked at follows them. */
const FOLLOW = 0.1;

export interface PackagesChosen {
  /** Whole packages of each block. */
  readonly packages: readonly number[];
  /** No packages that are enough cost less. */
  readonly bound: number;
  /** Whether they are enough, where a colour may be mixed by shares of several recipes. */
  readonly isEnough: boolean;
}

/**
 * The cheapest whole packages with which shares of recipes give every colour. The cheapest packages that keep to
 * the rows so far are chosen; where they are not enough, the prices of what lacks become one more row. A row holds
 * for all recipes, so the cost of the packages chosen is a bound over all recipes.
 *
 * Shape:   `cuts` grows; rows that were found for another share of usable clay hold for this one too
 * Source:  decomposition [Benders1962], between the packages and a point inside [MagnantiWong1981]
 */
export function* cheapestPackages(
  { blocks }: ShoppingAsked,
  shares: RecipeShares,
  {
    cuts,
    mostPackages,
    root,
    usable,
    mostCuts,
  }: {
    readonly cuts: PackageCut[];
    /** With so many rows the packages are chosen for the last time. */
    readonly mostCuts: number;
    readonly mostPackages: readonly number[];
    /** Packages of the linear problem. */
    readonly root: SharesRound['packages'];
    readonly usable: number;
  },
): WorkSteps<PackagesChosen> {
  let inside = root;
  let bound = 0;
  let [gap]: readonly number[] = GAPS;
  for (;;) {
    const rows = cuts.map((cut) => rowOf(cut, usable));
    const solution = yield* solved(
      {
        costs: blocks.map(({ cost }) => cost),
        most: mostPackages,
        whole: blocks.map(() => true),
        ...{ rows, gap, steps: OPTIMISER_STEPS },
      },
      'choosing packages',
    );
    if (solution === undefined) throw notSolved();
    bound = Math.max(bound, solution.bound);
    const packages = solution.values;
    if (cuts.length >= mostCuts) return { packages, bound, isEnough: false };
    const between = packages.map((n, block) => (n + inside[block]) / 2);
    const isNew = (yield* lackOf(packages, between)) || (yield* lackOf(packages, packages));
    if (!isNew && gap === GAPS[1]) return { packages, bound, isEnough: true };
    if (!isNew) gap = GAPS[1];
    inside = inside.map((n, block) => (1 - FOLLOW) * n + FOLLOW * packages[block]);
  }

  /** Adds a row that the packages miss, looked for from a point; false where none was found. */
  function* lackOf(packages: readonly number[], from: readonly number[]): WorkSteps<boolean> {
    for (let at = 0; at < MOST_ROUNDS; at++) {
      const { cut, isLast } = yield* shares.round(from, usable);
      const { terms, least } = rowOf(cut, usable);
      const worth = terms.reduce((sum, [block, factor]) => sum + factor * packages[block], 0);
      if (worth < least - CLEARLY) {
        cuts.push(cut);
        return true;
      }
      if (isLast) return false;
    }
    return false;
  }
}

function rowOf({ colours, atHand, clay, links }: PackageCut, usable: number) {
  return {
    terms: clay.flatMap((worth, block) => {
      const factor = usable * worth + links[block];
      return Math.abs(factor) < 1e-9 ? [] : [[block, factor] as const];
    }),
    least: colours - usable * atHand - 1e-6,
  } satisfies LinearRow;
}
