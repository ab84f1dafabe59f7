import { choleskyInPlace } from '../numeric/dense-cholesky.ts';
import { type Chance, seededChance } from '../numeric/seeded-chance.ts';
import { type BendResultRow, RESULTS } from './bend-results.ts';
import {
  AT,
  dipAt,
  drawTerms,
  fillKnots,
  gradeStart,
  KNOTS,
  placeOfShare,
  priorOf,
} from './strength-terms.ts';

const GRADES = RESULTS.length;

/** Draws of the terms, given the tests; all count alike. */
export interface StrengthDraws {
  readonly count: number;
  /** Terms of a draw; rows of `terms`. */
  readonly width: number;
  readonly terms: Float64Array;
  readonly dips: boolean;
  /** Log of how well this kind of curve explains the tests, over its prior. */
  readonly evidence: number;
}

export interface StrengthSettings {
  readonly draws: number;
  /** Moves of every draw after each step. */
  readonly moves: number;
  readonly seed: number;
}

/** Measured: more draws or moves change intervals by less than their own steps. */
export const STRENGTH_SETTINGS: StrengthSettings = { draws: 600, moves: 6, seed: 20 };

/** A step may leave this share of the draws effective. */
const LEFT_EFFECTIVE = 0.5;
const MOST_STEPS = 60;

/**
 * What the tests say of two lines, as draws of the terms: x = ln strain - tolerance(share) + translucent +
 * powder + batch, and the grade by logistic steps of x. Draws start from the prior; the tests are taken in
 * little by little, and after each step the draws are resampled and moved.
 * Shape:   tests -> draws; without tests, the prior
 * Holds:   the same tests and settings give the same draws; the tolerance never falls with a larger share,
 *          unless `dips`
 * Source:  ordinal steps [McCullagh1980]; tempered sequential Monte Carlo [DelMoral2006]
 */
export function fitStrength(
  tests: readonly BendResultRow[],
  dips = false,
  { draws: count, moves, seed }: StrengthSettings = STRENGTH_SETTINGS,
): StrengthDraws {
  const chance = seededChance(seed);
  const batches = [...new Set(tests.map(({ batch }) => batch))];
  const likely = likelihoodOf(tests, batches, dips);
  const prior = priorOf(batches.length);
  const width = AT.ofBatches + batches.length;
  let terms = new Float64Array(count * width);
  for (let i = 0; i < count; i++) terms.set(drawTerms(batches.length, chance), i * width);
  let fits = Float64Array.from({ length: count }, (_, i) => likely(terms, i * width));
  let priors = Float64Array.from({ length: count }, (_, i) => prior(terms, i * width));
  let taken = tests.length === 0 ? 1 : 0;
  let evidence = 0;
  let scale = 1;
  for (let step = 0; taken < 1 && step < MOST_STEPS; step++) {
    const more = step === MOST_STEPS - 1 ? 1 - taken : stepFor(fits, 1 - taken);
    const { weights, logMean } = weighed(fits, more);
    evidence += logMean;
    taken = Math.min(1, taken + more);
    const chosen = resampled(weights, chance);
    terms = rowsOf(terms, chosen, width);
    fits = rowsOf(fits, chosen, 1);
    priors = rowsOf(priors, chosen, 1);
    const root = rootOfSpread(terms, width);
    const last = taken === 1 ? 2 * moves : moves;
    for (let move = 0; move < last; move++) {
      const accepted = moved(terms, fits, priors, {
        width,
        root,
        scale,
        taken,
        likely,
        prior,
        chance,
      });
      scale *= Math.exp(0.5 * (accepted - 0.25));
    }
  }
  return { count, width, terms, dips, evidence };
}

type Likelihood = (terms: Float64Array, from: number) => number;

function likelihoodOf(
  tests: readonly BendResultRow[],
  batches: readonly string[],
  dips: boolean,
): Likelihood {
  const rows = tests.map((test) => ({
    ...test,
    logStrain: Math.log(test.strain),
    place: placeOfShare(test.share),
    batchAt: AT.ofBatches + batches.indexOf(test.batch),
  }));
  const knots = new Float64Array(KNOTS.length);
  // What a specimen must pass to be of a grade at least; grade 0 begins nowhere.
  const starts = new Float64Array(GRADES);
  return (terms, from) => {
    const softness = Math.exp(terms[from + AT.softness]);
    const scatter = Math.exp(terms[from + AT.batch]);
    for (let above = 1; above < GRADES; above++) starts[above] = gradeStart(terms, from, above);
    fillKnots(terms, from, knots);
    let sum = 0;
    for (const row of rows) {
      const { knot, along } = row.place;
      const x =
        (row.rankOnly ? terms[from + AT.pinch] : row.logStrain) -
        (knots[knot] + along * (knots[knot + 1] - knots[knot])) +
        (dips ? dipAt(terms, from, row.share) : 0) +
        terms[from + AT.translucent] * row.translucent +
        terms[from + AT.powder] * row.powder +
        scatter * terms[from + row.batchAt];
      const below = row.grade === GRADES - 1 ? 1 : step((starts[row.grade + 1] - x) / softness);
      const under = row.grade === 0 ? 0 : step((starts[row.grade] - x) / softness);
      sum += Math.log(Math.max(1e-12, below - under));
    }
    return sum;
  };
}

function step(x: number): number {
  return 1 / (1 + Math.exp(-x));
}

/** How much more of the tests can be taken in at once. */
function stepFor(fits: Float64Array, most: number): number {
  const effective = (more: number) => {
    const { weights } = weighed(fits, more);
    return 1 / weights.reduce((sum, w) => sum + w * w, 0) / fits.length;
  };
  if (effective(most) >= LEFT_EFFECTIVE) return most;
  let [low, high] = [0, most];
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (effective(middle) >= LEFT_EFFECTIVE) low = middle;
    else high = middle;
  }
  return Math.max(low, 1e-4);
}

function weighed(fits: Float64Array, more: number) {
  let top = Number.NEGATIVE_INFINITY;
  for (const fit of fits) top = Math.max(top, fit);
  const weights = fits.map((fit) => Math.exp(more * (fit - top)));
  const sum = weights.reduce((all, w) => all + w, 0);
  return {
    weights: weights.map((w) => w / sum),
    logMean: more * top + Math.log(sum / fits.length),
  };
}

/** Rows by their weights, evenly spaced from one random start. */
function resampled(weights: Float64Array, { uniform }: Chance): Int32Array {
  const chosen = new Int32Array(weights.length);
  let [at, sum] = [0, weights[0]];
  const start = uniform();
  for (let i = 0; i < chosen.length; i++) {
    const wanted = (i + start) / chosen.length;
    while (sum < wanted && at < weights.length - 1) sum += weights[++at];
    chosen[i] = at;
  }
  return chosen;
}

function rowsOf(
  values: Float64Array,
  chosen: Int32Array,
  width: number,
): Float64Array<ArrayBuffer> {
  const rows = new Float64Array(values.length);
  for (const [i, from] of chosen.entries()) {
    rows.set(values.subarray(from * width, (from + 1) * width), i * width);
  }
  return rows;
}

/** Lower root of the covariance of the draws. */
function rootOfSpread(terms: Float64Array, width: number): Float64Array {
  const count = terms.length / width;
  const mean = new Float64Array(width);
  for (let i = 0; i < terms.length; i++) mean[i % width] += terms[i] / count;
  const spread = new Float64Array(width * width);
  for (let i = 0; i < count; i++) {
    for (let r = 0; r < width; r++) {
      const off = terms[i * width + r] - mean[r];
      for (let c = 0; c <= r; c++) {
        spread[r * width + c] += (off * (terms[i * width + c] - mean[c])) / count;
      }
    }
  }
  for (let r = 0; r < width; r++) {
    spread[r * width + r] += 1e-6;
    for (let c = 0; c < r; c++) spread[c * width + r] = spread[r * width + c];
  }
  choleskyInPlace(spread, width);
  return spread;
}

interface Move {
  readonly width: number;
  readonly root: Float64Array;
  readonly scale: number;
  readonly taken: number;
  readonly likely: Likelihood;
  readonly prior: Likelihood;
  readonly chance: Chance;
}

/** One random step of every draw, kept by the rule of Metropolis; the share that was kept. */
function moved(
  terms: Float64Array,
  fits: Float64Array,
  priors: Float64Array,
  { width, root, scale, taken, likely, prior, chance }: Move,
): number {
  const size = (scale * 2.38) / Math.sqrt(width);
  const next = new Float64Array(width);
  const noise = new Float64Array(width);
  let accepted = 0;
  for (let i = 0; i < fits.length; i++) {
    for (let k = 0; k < width; k++) noise[k] = chance.normal();
    for (let r = 0; r < width; r++) {
      let sum = terms[i * width + r];
      for (let c = 0; c <= r; c++) sum += size * root[r * width + c] * noise[c];
      next[r] = sum;
    }
    const nextPrior = prior(next, 0);
    const nextFit = likely(next, 0);
    const better = nextPrior - priors[i] + taken * (nextFit - fits[i]);
    if (Math.log(chance.uniform() + 1e-300) >= better) continue;
    terms.set(next, i * width);
    priors[i] = nextPrior;
    fits[i] = nextFit;
    accepted++;
  }
  return accepted / fits.length;
}
