import type { Predictor } from '../clay/predict.ts';
import type { Lab } from '../colour/triples.ts';
import { closeColours } from '../piles/close-colours.ts';
import { type WalkOptions, walkRecipes } from '../piles/recipe-walk.ts';

/** Differences closer than this are one, dE00. */
const A_HAIR = 1e-9;

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

export interface RecipesOptions extends WalkOptions {
  readonly wanted: readonly ColourWanted[];
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
  const { wanted, mayServe } = options;
  const within: RecipeWithin[][] = wanted.map(() => []);
  const closest = new Array<RecipeWithin | undefined>(wanted.length).fill(undefined);
  const widest = Math.max(0, ...wanted.map(({ tolerance }) => tolerance));
  const colours = closeColours(
    wanted.map(({ lab }) => lab),
    widest + A_HAIR,
  );
  const limitOf = (at: number) =>
    Math.max(wanted[at].tolerance + A_HAIR, closest[at]?.dE00 ?? Number.POSITIVE_INFINITY);
  let set: readonly number[] = [];
  const walk = walkRecipes(predictor, options, {
    begin(next) {
      set = next;
      colours.limit(limitOf);
      return mayServe(next);
    },
    recipe(lab, counts) {
      colours.visit(lab, (at, dE00) => {
        const own = { clays: [...set], counts, lab: [lab[0], lab[1], lab[2]] as const, dE00 };
        if (dE00 < (closest[at]?.dE00 ?? Number.POSITIVE_INFINITY)) {
          closest[at] = own;
          colours.narrow(at, limitOf(at));
        }
        if (dE00 <= wanted[at].tolerance) within[at].push(own);
      });
    },
    end() {},
  });
  return {
    step: (budget) => walk.step(budget),
    get settled() {
      return walk.settled;
    },
    total: walk.total,
    recipes: () => ({
      within: within.map((own) => own.toSorted((one, other) => one.dE00 - other.dE00)),
      closest,
    }),
  };
}
