import type { Predictor } from '../clay/predict.ts';
import { colourWeights } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { wholeParts } from '../search/composition-tree.ts';
import { countRecipes, searchProblem } from '../search/search-problem.ts';

/** Most clays of one recipe that are looked at all together. */
export const MOST_CLAYS_TOGETHER = 3;

export interface WalkOptions {
  /** Clays that recipes may use, as indices into the model. */
  readonly clays: readonly number[];
  readonly mostClays: number;
  readonly parts: number;
  /** How much clay one part holds, by index into the model; all alike when absent. */
  readonly amounts?: readonly number[];
}

/** What is done with every recipe, one set of clays after the other; places of the clays rise. */
export interface RecipeVisitor {
  /** False leaves all recipes of the set out. */
  begin(set: readonly number[]): boolean;
  recipe(lab: Float64Array, counts: readonly number[]): void;
  end(set: readonly number[]): void;
}

export interface RecipeWalk {
  /** Looks at about so many more recipes; true at the end. */
  step(budget: number): boolean;
  readonly settled: number;
  readonly total: number;
  /** Recipes passed, also those left out. */
  readonly tried: number;
}

/**
 * Every recipe of at most three clays, shorter sets first, with its colour under D50 and 2 degrees.
 * Refuses: more than 3 clays a recipe -> invalid-input; as `searchProblem` does
 */
export function walkRecipes(
  predictor: Predictor,
  { clays, parts, mostClays, amounts }: WalkOptions,
  visitor: RecipeVisitor,
): RecipeWalk {
  const size = clays.length;
  const most = Math.min(mostClays, parts, size);
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
    ...(amounts === undefined ? {} : { amounts }),
  });
  const rows = Array.from({ length: most + 1 }, (_, n) => (n === 0 ? [] : rowsOf(n, parts)));
  const total = countRecipes(size, most, parts);
  const set = [0];
  const lab = new Float64Array(3);
  let tried = 0;
  let ended = size === 0;
  return {
    step(budget) {
      const until = tried + budget;
      while (!ended && tried < until) {
        const own = rows[set.length];
        tried += own.length;
        if (visitor.begin(set)) {
          for (const counts of own) {
            problem.labInto(lab, set, counts, set.length);
            visitor.recipe(lab, counts);
          }
          visitor.end(set);
        }
        ended = !nextSet(set, size, most);
      }
      return ended;
    },
    get settled() {
      return total === 0 ? 1 : tried / total;
    },
    total,
    get tried() {
      return tried;
    },
  };
}

/** Every way to share out whole parts among so many clays, one array each. */
function rowsOf(n: number, parts: number): readonly (readonly number[])[] {
  const flat = wholeParts(n, parts);
  return Array.from({ length: flat.length / n }, (_, r) => [...flat.subarray(r * n, r * n + n)]);
}

/** The next set in the order of the dictionary, shorter sets first; false after the last. */
function nextSet(set: number[], size: number, most: number): boolean {
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
