import { HOLDS_UP_TO } from './bend-results.ts';
import type { StrengthDraws } from './fit-strength.ts';
import {
  type HoldingChance,
  holdingShares,
  type Load,
  resultsAsHard,
  type StrengthBelief,
} from './strength-belief.ts';
import { AT, KNOTS, placeOfShare, TERMS, toleranceAt } from './strength-terms.ts';

/**
 * How sure an advised share is: nine cases in ten reach the chance wanted. Asked a little stricter, since
 * bakes may differ more than a few tests show.
 */
const SURE = 0.05;
/** Shares are advised in steps that can be counted in parts, 1/20. */
const STEPS = 20;

export interface ShareAdvice {
  /** Least share that is enough in nine cases of ten; none where even the strong line alone is not. */
  readonly least?: number;
  /** Likely range of the least share, 80 %; above 1 where no share is enough. */
  readonly low: number;
  readonly high: number;
}

/** No share is enough: one step beyond the strong line alone. */
const NONE = 1 + 1 / STEPS;

/**
 * The least share of the strong line so that a part holds with the chance wanted.
 * Shape:   0-1
 * Method:  advised only where nine in ten cases reach the chance at this share and at all larger ones, and
 *          never below the least share of which a bend at least as hard has held: the tests are not
 *          carried beyond what was seen
 */
export function leastShare(belief: StrengthBelief, load: Load, wanted: number): ShareAdvice {
  let least: number | undefined;
  const seen = resultsAsHard(belief, load).filter(({ grade }) => grade <= HOLDS_UP_TO[load.bulk]);
  const floor = Math.min(...seen.map(({ share }) => share));
  for (let i = STEPS; i >= 0 && i / STEPS >= floor - 1e-9; i--) {
    const sorted = holdingShares(belief.draws, i / STEPS, load).sort();
    if (sorted[Math.floor(SURE * sorted.length)] < wanted) break;
    least = i / STEPS;
  }
  const each = leastOfDraws(belief.draws, load, wanted).sort();
  return {
    ...(least === undefined ? {} : { least }),
    low: each[Math.floor(0.1 * each.length)],
    high: each[Math.floor(0.9 * each.length)],
  };
}

/** For every draw the least share that is enough with it and beyond. */
function leastOfDraws(draws: StrengthDraws, load: Load, wanted: number): Float64Array {
  const least = new Float64Array(draws.count).fill(NONE);
  const open = new Uint8Array(draws.count).fill(1);
  for (let i = STEPS; i >= 0; i--) {
    const holding = holdingShares(draws, i / STEPS, load);
    for (let d = 0; d < draws.count; d++) {
      if (open[d] === 0) continue;
      if (holding[d] >= wanted) least[d] = i / STEPS;
      else open[d] = 0;
    }
  }
  return least;
}

/** A test to make: its share, and how hard it bends. */
export interface NextTest {
  readonly share: number;
  readonly strain: number;
}

/** Strains worth a test, over the one needed. */
const STRAINS = [1, 0.6, 1.6];

/**
 * The two tests that would say most about the least share, each in a bake of its own.
 * Method:  for every test and result, how far the least share would still be spread; the smallest expected
 *          variance wins, then the same again with the first test made
 */
export function nextTests(belief: StrengthBelief, load: Load, wanted: number): readonly NextTest[] {
  const { draws } = belief;
  const least = leastOfDraws(draws, load, wanted);
  const options = KNOTS.flatMap((share) =>
    STRAINS.map((times) => ({ share, strain: Math.min(1, load.strain * times) })),
  );
  const chances = options.map((test) => gradeChances(draws, test, load));
  const first = bestOf(least, chances, undefined);
  const second = bestOf(least, chances, chances[first]);
  return [options[first], options[second]];
}

type GradeChances = readonly Float64Array[];

function bestOf(
  least: Float64Array,
  chances: readonly GradeChances[],
  made: GradeChances | undefined,
) {
  let [best, at] = [Number.POSITIVE_INFINITY, 0];
  const even = [new Float64Array(least.length).fill(1)];
  for (const [i, results] of chances.entries()) {
    let expected = 0;
    for (const before of made ?? even) {
      for (const chance of results) expected += spreadLeft(least, before, chance);
    }
    if (expected < best - 1e-9) [best, at] = [expected, i];
  }
  return at;
}

/** Variance of the least share given a result, times the chance of that result. */
function spreadLeft(least: Float64Array, before: Float64Array, chance: Float64Array): number {
  let [w, sum, squares] = [0, 0, 0];
  for (let i = 0; i < least.length; i++) {
    const weight = before[i] * chance[i];
    w += weight;
    sum += weight * least[i];
    squares += weight * least[i] * least[i];
  }
  return w === 0 ? 0 : (squares - (sum * sum) / w) / least.length;
}

/** Chance of each grade for each draw, the scatter of a new bake taken as more softness. */
function gradeChances(draws: StrengthDraws, test: NextTest, load: Load): GradeChances {
  const { count, terms, dips } = draws;
  const place = placeOfShare(test.share);
  const grades = Array.from({ length: 5 }, () => new Float64Array(count));
  for (let i = 0; i < count; i++) {
    const from = i * TERMS;
    const x =
      Math.log(test.strain) -
      toleranceAt(terms, from, test.share, place, dips) +
      terms[from + AT.translucent] * load.translucent +
      terms[from + AT.powder] * load.powder;
    // A logistic step has the spread of a normal one of 1.7 times its width.
    const soft = Math.hypot(terms[from + AT.softness], terms[from + AT.batch] / 1.7);
    let under = 0;
    for (let grade = 0; grade < 5; grade++) {
      const below =
        grade === 4 ? 1 : 1 / (1 + Math.exp((x - terms[from + AT.starts + grade + 1]) / soft));
      grades[grade][i] = below - under;
      under = below;
    }
  }
  return grades;
}

/**
 * Whether a blend is proven for a load: it holds, it fails, or nobody knows yet.
 * Holds:   without a result at least as hard that held, never `holds`; without tests, `unproven`
 */
export function provenFor(
  { tests }: StrengthBelief,
  { sure, hopeful, asHard }: Pick<HoldingChance, 'sure' | 'hopeful' | 'asHard'>,
  wanted: number,
): 'holds' | 'fails' | 'unproven' {
  if (sure >= wanted && asHard.held > 0) return 'holds';
  return tests.length > 0 && hopeful < wanted ? 'fails' : 'unproven';
}
