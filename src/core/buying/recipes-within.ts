import type { Predictor } from '../clay/predict.ts';
import { deltaE2000At } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { isFartherThan, MOST_CLAYS_TOGETHER, nextSet, rowsOf } from '../piles/reach.ts';
import { countRecipes, searchProblem } from '../search/search-problem.ts';

/** A colour that is wanted, D50 and 2 degrees, and how close a recipe must come, dE00. */
export interface ColourWanted {
  readonly lab: Lab;
  readonly tolerance: number;
}

/** A recipe that comes close enough. */
export interface RecipeWithin {
  /** Places among the clays looked at, rising, and whole parts of each. */
  readonly clays: readonly number[];
  readonly counts: readonly number[];
  readonly lab: Lab;
  readonly dE00: number;
}

export interface RecipesOptions {
  /** Clays that recipes may use, as indices into the model. */
  readonly clays: readonly number[];
  readonly wanted: readonly ColourWanted[];
  readonly mostClays: number;
  readonly parts: number;
  /** How much clay one part holds, by index into the model; all alike when absent. */
  readonly amounts?: readonly number[];
  /** Whether a set of clays, by place, may stand for a flat colour. */
  readonly mayServe: (set: readonly number[]) => boolean;
}

export interface RecipesFound {
  /** By colour: every recipe within its tolerance, the closest first. */
  readonly within: readonly (readonly RecipeWithin[])[];
  /** By colour: the closest of all. */
  readonly closest: readonly (RecipeWithin | undefined)[];
}

export interface RecipesRun {
  /** Looks at about so many more recipes; true at the end. */
  step(budget: number): boolean;
  readonly settled: number;
  readonly total: number;
  recipes(): RecipesFound;
}

/**
 * Every recipe of at most three clays that comes within the tolerance of each colour.
 * Refuses: more than 3 clays a recipe -> invalid-input; as `searchProblem` does
 */
export function startRecipesWithin(predictor: Predictor, options: RecipesOptions): RecipesRun {
  const { clays, wanted, parts, mayServe } = options;
  const size = clays.length;
  const most = Math.min(options.mostClays, parts, size);
  if (most > MOST_CLAYS_TOGETHER) {
    throw invalidInput(`At most ${MOST_CLAYS_TOGETHER} clays a recipe are looked at together.`);
  }
  const problem = searchProblem(predictor, {
    aim: [50, 0, 0],
    weights: colourWeights('D50', 2),
    clays,
    mostClays: most,
    parts,
    top: 1,
    ...(options.amounts === undefined ? {} : { amounts: options.amounts }),
  });
  const rows = Array.from({ length: most + 1 }, (_, n) => (n === 0 ? [] : rowsOf(n, parts)));
  const total = countRecipes(size, most, parts);
  const within: RecipeWithin[][] = wanted.map(() => []);
  const closest = new Array<RecipeWithin | undefined>(wanted.length).fill(undefined);
  const set = [0];
  const lab = new Float64Array(3);
  let tried = 0;
  let ended = size === 0;
  return {
    step(budget) {
      const until = tried + budget;
      while (!ended && tried < until) {
        if (mayServe(set)) look();
        else tried += rows[set.length].length;
        ended = !nextSet(set, size, most);
      }
      return ended;
    },
    get settled() {
      return total === 0 ? 1 : tried / total;
    },
    total,
    recipes: () => ({
      within: within.map((own) => own.toSorted((one, other) => one.dE00 - other.dE00)),
      closest,
    }),
  };

  function look(): void {
    for (const counts of rows[set.length]) {
      tried++;
      problem.labInto(lab, set, counts, set.length);
      wanted.forEach(({ lab: aim, tolerance }, at) => {
        const limit = Math.max(tolerance, closest[at]?.dE00 ?? Number.POSITIVE_INFINITY);
        if (isFartherThan(limit, aim, lab)) return;
        const dE00 = deltaE2000At(aim[0], aim[1], aim[2], lab[0], lab[1], lab[2]);
        const isClosest = dE00 < (closest[at]?.dE00 ?? Number.POSITIVE_INFINITY);
        if (dE00 > tolerance && !isClosest) return;
        const own = {
          clays: [...set],
          counts,
          lab: [lab[0], lab[1], lab[2]] as const,
          dE00,
        };
        if (isClosest) closest[at] = own;
        if (dE00 <= tolerance) within[at].push(own);
      });
    }
  }
}
