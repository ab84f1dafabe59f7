import type { Predictor } from '../clay/predict.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import type { SearchHit, SearchOptions } from './search-options.ts';
import { countCompositions, searchProblem } from './search-problem.ts';

/** Parts of the base to one of the strong clay; the usual pre-mix of the trade is 1 : 9. */
const BASE_PARTS = [9, 4, 2];
/** Above this many ways to share out the parts, trying them all would take too long. */
const MOST_WAYS = 50_000;
/** Errors closer than this are equal: fewer parts come first. */
const EQUAL = 1e-9;

/**
 * A strong clay first mixed with much of another, so that one part of the pre-mix holds little of
 * it.
 */
export interface PreMix {
  readonly strong: number;
  readonly base: number;
  /** Parts of the base to one part of the strong clay. */
  readonly baseParts: number;
  readonly preMixParts: number;
  /** The other parts of the recipe; they may include more of the base. */
  readonly others: readonly { readonly clay: number; readonly parts: number }[];
  /** Under the first light. */
  readonly lab: Lab;
  /** The largest over all lights. */
  readonly dE00: number;
  /** The most that half a part of the pre-mix, or of any other clay, moves the colour, dE00. */
  readonly halfPart: number;
}

/**
 * How many times larger a recipe can be cut within the parts allowed; half a part then counts for
 * less.
 */
export function timesOver(parts: number, recipe: Pick<SearchHit, 'parts'>): number {
  const total = recipe.parts.reduce((sum, part) => sum + part.parts, 0);
  return Math.max(1, Math.floor(parts / total));
}

/**
 * Which clay of a recipe moves the colour most by half a part, and how far, dE00. The recipe is cut
 * as many times larger as the parts allow, like in the rule on half parts.
 */
export function strongestPart(
  predictor: Predictor,
  options: SearchOptions,
  recipe: SearchHit,
): { readonly clay: number; readonly moves: number } {
  const { labInto, set, counts } = ready(predictor, options, recipe);
  const half = 0.5 / timesOver(options.parts, recipe);
  const own = labInto(counts);
  let strongest = { clay: recipe.parts[0].clay, moves: 0 };
  set.forEach((_, i) => {
    const moves = Math.max(
      ...[half, -half].map((by) => deltaE2000(own, labInto(counts.with(i, counts[i] + by)))),
    );
    if (moves > strongest.moves) strongest = { clay: recipe.parts[i].clay, moves };
  });
  return strongest;
}

/** A search for a pre-mix in progress. */
export interface PreMixRun {
  /** Tries about this many more; true at the end. */
  step(budget: number): boolean;
  /** The closest so far; undefined where none keeps to the limit. */
  best(): PreMix | undefined;
}

/**
 * The same colour with its strongest clay pre-mixed first, within a limit on what half a part
 * moves.
 * Shape:   a recipe of two clays or more that breaks the limit -> the pre-mix and the recipe with
 *          it
 * Returns: nothing where no pre-mix in most of another clay of the recipe keeps to the limit and to
 *          the rules on shares
 * Source:  pre-mix 1 : 9, common practice, no source
 */
export function startPreMix(
  predictor: Predictor,
  options: SearchOptions,
  recipe: SearchHit,
  limit: number,
): PreMixRun {
  const size = recipe.parts.length;
  if (size < 2 || countCompositions(size, options.parts) > MOST_WAYS) {
    return { step: () => true, best: () => undefined };
  }
  const { problem, labInto, set, counts } = ready(predictor, options, recipe);
  const { clay: strong } = strongestPart(predictor, options, recipe);
  const strongAt = recipe.parts.findIndex(({ clay }) => clay === strong);
  const baseAt = counts.reduce(
    (best, count, i) => (i !== strongAt && (best < 0 || count > counts[best]) ? i : best),
    -1,
  );
  let found: PreMix | undefined;
  const walk = everyPreMix();

  return {
    step(budget) {
      for (let tried = 0; tried < budget; tried++) {
        const next = walk.next();
        if (next.done === true) return true;
        consider(...next.value);
      }
      return false;
    },
    best: () => found,
  };

  /** Parts of every clay in the whole, with the pre-mix split into its clays. */
  function whole(baseParts: number, steps: readonly number[], preMix: number): number[] {
    return steps.map((n, i) => {
      if (i === strongAt) return preMix / (1 + baseParts);
      return i === baseAt ? n + (preMix * baseParts) / (1 + baseParts) : n;
    });
  }

  function consider(baseParts: number, steps: readonly number[], preMix: number): void {
    const mixed = whole(baseParts, steps, preMix);
    const dE00 = problem.errorOf(set, mixed, size);
    if (found !== undefined && dE00 >= found.dE00 - EQUAL) return;
    if (!problem.rules.allowsParts(set, size, mixed)) return;
    const lab = labInto(mixed);
    const moved = [0.5, -0.5].flatMap((by) => [
      whole(baseParts, steps, preMix + by),
      ...steps.flatMap((n, i) => (n > 0 ? [whole(baseParts, steps.with(i, n + by), preMix)] : [])),
    ]);
    const halfPart = Math.max(...moved.map((parts) => deltaE2000(lab, labInto(parts))));
    if (halfPart > limit) return;
    found = {
      strong,
      base: recipe.parts[baseAt].clay,
      baseParts,
      preMixParts: preMix,
      others: steps.flatMap((n, i) => (n > 0 ? [{ clay: recipe.parts[i].clay, parts: n }] : [])),
      lab,
      dE00,
      halfPart,
    };
  }

  function* everyPreMix(): Generator<[baseParts: number, steps: readonly number[], n: number]> {
    for (const baseParts of BASE_PARTS) {
      for (const { steps, left } of othersFrom(new Array<number>(size).fill(0), 0, options.parts)) {
        // The pre-mix alone would be the recipe itself.
        if (left === options.parts) continue;
        for (let preMix = 1; preMix <= left; preMix++) yield [baseParts, steps, preMix];
      }
    }
  }

  /** Every choice of parts for the clays beside the strong one; the base may get no part. */
  function* othersFrom(
    steps: readonly number[],
    at: number,
    left: number,
  ): Generator<{ readonly steps: readonly number[]; readonly left: number }> {
    if (at === size) yield { steps, left };
    else if (at === strongAt) yield* othersFrom(steps, at + 1, left);
    else {
      for (let n = at === baseAt ? 0 : 1; n < left; n++) {
        yield* othersFrom(steps.with(at, n), at + 1, left - n);
      }
    }
  }
}

function ready(predictor: Predictor, options: SearchOptions, recipe: SearchHit) {
  const { rules = {}, below: _, ...rest } = options;
  const { halfPart: __, ...others } = rules;
  const problem = searchProblem(predictor, { ...rest, rules: others, top: 1 });
  const set = recipe.parts.map(({ clay }) => options.clays.indexOf(clay));
  const counts = recipe.parts.map(({ parts }) => parts);
  const out = new Float64Array(3);
  return {
    problem,
    set,
    counts,
    labInto(parts: readonly number[]): Lab {
      problem.labInto(out, set, parts, set.length);
      return [out[0], out[1], out[2]];
    },
  };
}
