import type { Predictor } from '../clay/predict.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import type { FoundRecipe, SeekOptions } from './seek-options.ts';
import { seekProblem } from './seek-problem.ts';

/** Parts of the base to one of the strong clay; the trade's usual let-down is 1 : 9. */
const BASE_PARTS = [9, 4, 2];

/** A strong clay first mixed with much of another, so that a part of it is small. */
export interface LetDown {
  readonly strong: number;
  readonly base: number;
  /** To one part of the strong clay. */
  readonly baseParts: number;
  readonly letDownParts: number;
  /** The other parts of the recipe, more of the base among them where there are any. */
  readonly others: readonly { readonly parent: number; readonly parts: number }[];
  readonly lab: Lab;
  readonly dE00: number;
  /** What half a part of the let-down, or of any other clay, moves the colour by at most, dE00. */
  readonly halfPart: number;
}

/** Which parent of a recipe counts most by the half part, and how far, dE00. */
export function strongestPart(
  predictor: Predictor,
  options: SeekOptions,
  recipe: FoundRecipe,
): { readonly parent: number; readonly moves: number } {
  const { labInto, set, counts } = ready(predictor, options, recipe);
  const own = labInto(counts);
  let strongest = { parent: recipe.parts[0].parent, moves: 0 };
  set.forEach((_, i) => {
    const moves = Math.max(
      ...[0.5, -0.5].map((by) => deltaE2000(own, labInto(counts.with(i, counts[i] + by)))),
    );
    if (moves > strongest.moves) strongest = { parent: recipe.parts[i].parent, moves };
  });
  return strongest;
}

/**
 * The same colour with its strongest clay let down first, within a limit on what half a part moves.
 * Shape:   a recipe of two clays or more that breaks the limit -> the let-down and the recipe with it
 * Returns: undefined where no let-down in most of another clay of the recipe keeps to the limit
 * Source:  let-down 1 : 9, common practice, no source
 */
export function letDownFor(
  predictor: Predictor,
  options: SeekOptions,
  recipe: FoundRecipe,
  limit: number,
): LetDown | undefined {
  if (recipe.parts.length < 2) return undefined;
  const { labInto, set, counts } = ready(predictor, options, recipe);
  const { parent: strong } = strongestPart(predictor, options, recipe);
  const strongAt = recipe.parts.findIndex(({ parent }) => parent === strong);
  const baseAt = counts.reduce(
    (best, count, i) => (i !== strongAt && (best < 0 || count > counts[best]) ? i : best),
    -1,
  );
  let found: LetDown | undefined;
  for (const baseParts of BASE_PARTS) {
    const whole = (steps: readonly number[], letDown: number) =>
      steps.map((n, i) => {
        if (i === strongAt) return letDown / (1 + baseParts);
        return i === baseAt ? n + (letDown * baseParts) / (1 + baseParts) : n;
      });
    visit(new Array<number>(set.length).fill(0), 0, options.parts, (steps, left) => {
      for (let letDown = 1; letDown <= left; letDown++) {
        const lab = labInto(whole(steps, letDown));
        const dE00 = deltaE2000(options.aim, lab);
        if (found !== undefined && dE00 >= found.dE00) continue;
        const moved = [0.5, -0.5].flatMap((by) => [
          whole(steps, letDown + by),
          ...steps.flatMap((n, i) => (n > 0 ? [whole(steps.with(i, n + by), letDown)] : [])),
        ]);
        const halfPart = Math.max(...moved.map((c) => deltaE2000(lab, labInto(c))));
        if (halfPart > limit) continue;
        found = {
          strong,
          base: recipe.parts[baseAt].parent,
          baseParts,
          letDownParts: letDown,
          others: steps.flatMap((n, i) =>
            n > 0 ? [{ parent: recipe.parts[i].parent, parts: n }] : [],
          ),
          lab,
          dE00,
          halfPart,
        };
      }
    });
  }
  return found;

  /** Every choice of parts for the clays beside the strong one; none of the base is needed. */
  function visit(
    steps: number[],
    at: number,
    left: number,
    each: (steps: readonly number[], left: number) => void,
  ): void {
    if (at === steps.length) {
      each([...steps], left);
      return;
    }
    if (at === strongAt) {
      visit(steps, at + 1, left, each);
      return;
    }
    for (let n = at === baseAt ? 0 : 1; n < left; n++) {
      steps[at] = n;
      visit(steps, at + 1, left - n, each);
    }
    steps[at] = 0;
  }
}

function ready(predictor: Predictor, options: SeekOptions, recipe: FoundRecipe) {
  const { rules: _, below: __, ...rest } = options;
  const problem = seekProblem(predictor, { ...rest, top: 1 });
  const set = recipe.parts.map(({ parent }) => options.parents.indexOf(parent));
  const counts = recipe.parts.map(({ parts }) => parts);
  const out = new Float64Array(3);
  return {
    set,
    counts,
    labInto(parts: readonly number[]): Lab {
      problem.labInto(out, set, parts, set.length);
      return [out[0], out[1], out[2]];
    },
  };
}
