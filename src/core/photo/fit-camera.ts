import { localMetric } from '../colour/local-metric.ts';
import { xyzFromLab } from '../colour/spaces.ts';
import type { Xyz } from '../colour/triples.ts';
import { backward, choleskyInPlace, forward, solveInPlace } from '../numeric/dense-cholesky.ts';
import { equations, issuesInto, type SeenPatch } from './camera-equations.ts';
import {
  BEFORE_MATRIX,
  BLACK,
  lightOfCode,
  SLOPE,
  TERM_COUNT,
  type Terms,
  TONE,
  termsOfCode,
} from './camera-model.ts';

/** Freedom of the terms beside the matrix, as standard deviations around 0. */
export interface CameraFitSettings {
  readonly terms: Terms;
  /** Of a root term, with white at 1. */
  readonly rootSpread: number;
  readonly toneSpread: number;
  /** Linear light, with the brightest code at 1. */
  readonly blackSpread: number;
  /** Logarithm of light from the middle to the edge of the chart. */
  readonly slopeSpread: number;
}

export interface CameraFit {
  readonly settings: CameraFitSettings;
  readonly white: Xyz;
  readonly numbers: Float64Array;
  /** Of each number around 0, for a residual of 1 dE00 an axis per patch. */
  readonly priors: Float64Array;
  /** Lower Cholesky factor of the normal equations, for a residual of 1 dE00 an axis per patch. */
  readonly information: Float64Array;
  /**
   * Known minus predicted, three steps of about dE00 for each patch; including the one left out.
   */
  readonly residuals: Float64Array;
  /** Light of the darkest patch by `lightOfCode`. */
  readonly darkest: number;
  readonly converged: boolean;
}

interface FitOptions {
  /** Numbers to start with. */
  readonly start?: Float64Array;
  /** Index of a patch that does not count. */
  readonly leaveOut?: number;
  readonly rounds?: number;
  /** Whether a patch that disagrees loses weight. */
  readonly robust?: boolean;
}

/** Degrees of freedom of the t distribution by which a patch that disagrees loses weight. */
const T_FREEDOM = 4;
/** Variance below which patches do not differ, dE00 squared: single charts differ by more. */
const LEAST_VARIANCE = 0.1;
/** Median of a chi-squared variable of three degrees. */
const MEDIAN_CHI2_3 = 2.366;
const SETTLED = 1e-5;
const HALVINGS = 6;

/**
 * Camera numbers that give the patches their known colours.
 * Method:  Gauss-Newton with halved steps on CIELAB residuals scaled to dE00 at the known colour
 * Limits:  with fewer patches than numbers the spreads of the settings decide
 * Source:  [Lange1989] for the t weights of the robust form
 */
export function fitCamera(
  patches: readonly SeenPatch[],
  white: Xyz,
  settings: CameraFitSettings,
  options: FitOptions = {},
): CameraFit {
  const { leaveOut } = options;
  const numbers = options.start?.slice() ?? startingNumbers(patches, white, settings.terms);
  const size = numbers.length;
  const metrics = patches.map(({ lab }) => localMetric(lab));
  const priors = priorPrecisions(settings, patches, numbers);
  const weights = new Float64Array(patches.length).fill(1);
  if (leaveOut !== undefined) weights[leaveOut] = 0;
  const residuals = new Float64Array(patches.length * 3);
  const cost = (at: Float64Array) => {
    issuesInto(residuals, patches, metrics, white, settings.terms, at);
    let sum = 0;
    for (let a = 0; a < size; a++) sum += priors[a] * at[a] * at[a];
    for (let i = 0; i < patches.length; i++) sum += weights[i] * squared(residuals, i);
    return sum;
  };
  let information = new Float64Array(size * size);
  let converged = false;
  for (let round = 0; round < (options.rounds ?? 15) && !converged; round++) {
    const before = cost(numbers);
    if (options.robust) weigh(weights, residuals, leaveOut);
    const here = options.robust ? cost(numbers) : before;
    const step = new Float64Array(size);
    information = equations(
      step,
      patches,
      metrics,
      white,
      settings.terms,
      numbers,
      weights,
      residuals,
    );
    for (let a = 0; a < size; a++) {
      step[a] -= priors[a] * numbers[a];
      information[a * size + a] += priors[a] + 1e-9;
    }
    solveInPlace(information, step, size);
    let share = 1;
    let next = numbers.map((value, a) => value + step[a]);
    for (let h = 0; h < HALVINGS && !(cost(next) <= here * (1 + 1e-9)); h++) {
      share /= 2;
      next = numbers.map((value, a) => value + share * step[a]);
    }
    let moved = 0;
    for (let a = 0; a < size; a++) {
      moved = Math.max(moved, Math.abs(next[a] - numbers[a]) / (1 + Math.abs(numbers[a])));
      numbers[a] = next[a];
    }
    converged = moved < SETTLED;
  }
  cost(numbers);
  const counted = patches.filter((_, i) => weights[i] > 0);
  const darkest = Math.min(...counted.map(({ code }) => lightOfCode(code, numbers)));
  return { settings, white, numbers, priors, information, residuals, darkest, converged };
}

function weigh(weights: Float64Array, residuals: Float64Array, leaveOut?: number): void {
  const sizes = Array.from(weights, (_, i) => squared(residuals, i))
    .filter((_, i) => i !== leaveOut)
    .sort((a, b) => a - b);
  const variance = Math.max(LEAST_VARIANCE, sizes[sizes.length >> 1] / MEDIAN_CHI2_3);
  for (let i = 0; i < weights.length; i++) {
    if (i === leaveOut) continue;
    weights[i] = (T_FREEDOM + 3) / (T_FREEDOM + squared(residuals, i) / variance);
  }
}

function squared(residuals: Float64Array, i: number): number {
  return residuals[3 * i] ** 2 + residuals[3 * i + 1] ** 2 + residuals[3 * i + 2] ** 2;
}

const f = new Float64Array(6);

function priorPrecisions(
  settings: CameraFitSettings,
  patches: readonly SeenPatch[],
  start: Float64Array,
): Float64Array {
  const count = TERM_COUNT[settings.terms];
  const priors = new Float64Array(BEFORE_MATRIX + 3 * count);
  const precision = (spread: number) => (spread > 0 ? 1 / spread ** 2 : 1e12);
  priors.fill(precision(settings.toneSpread), TONE, BLACK);
  priors.fill(precision(settings.blackSpread), BLACK, SLOPE);
  priors.fill(precision(settings.slopeSpread), SLOPE, BEFORE_MATRIX);
  if (settings.terms === 'root') {
    // Spreads are given with white at 1; a root term of white is the root of its channels.
    const lightest = patches.reduce((a, b) => (b.lab[0] > a.lab[0] ? b : a));
    termsOfCode(f, start, 'root', lightest);
    for (let row = 0; row < 3; row++) {
      for (let k = 3; k < 6; k++) {
        priors[BEFORE_MATRIX + row * count + k] = precision(settings.rootSpread) * f[k] ** 2;
      }
    }
  }
  return priors;
}

/** Plain least squares of the matrix on XYZ, with more weight on dark patches, as a start. */
function startingNumbers(
  patches: readonly SeenPatch[],
  white: Xyz,
  terms: Terms,
): Float64Array<ArrayBuffer> {
  const count = TERM_COUNT[terms];
  const numbers = new Float64Array(BEFORE_MATRIX + 3 * count);
  const normal = new Float64Array(9);
  const right = new Float64Array(9);
  for (const patch of patches) {
    termsOfCode(f, numbers, 'linear', patch);
    const known = xyzFromLab(patch.lab, white);
    const weight = 1 / (0.02 + known[1]) ** 1.5;
    for (let a = 0; a < 3; a++) {
      for (let b = 0; b < 3; b++) normal[3 * a + b] += weight * f[a] * f[b];
      for (let x = 0; x < 3; x++) right[3 * a + x] += weight * f[a] * known[x];
    }
  }
  const least = 1e-6 * (normal[0] + normal[4] + normal[8]) + 1e-12;
  for (let a = 0; a < 3; a++) normal[4 * a] += least;
  choleskyInPlace(normal, 3);
  forward(normal, right, 3, 3);
  for (let x = 0; x < 3; x++) {
    const column = Float64Array.of(right[x], right[3 + x], right[6 + x]);
    backward(normal, column, 3);
    numbers.set(column, BEFORE_MATRIX + x * count);
  }
  return numbers;
}
