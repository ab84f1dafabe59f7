import { backward, choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import { tukeyCost, tukeyWeight } from '../numeric/tukey.ts';
import type { Point } from './plane-view.ts';
import { fallIn, type ShadowEdge, shadowAt } from './shadow-edge.ts';

/** Blocks of one surface and patches of known colour, both under one light. */
export interface JointShown {
  /** Places relative to the middle of the picture, by half of its longer side: -1 to 1. */
  readonly places: readonly Point[];
  /** The same places in mm from the middle of the chart, roughly. */
  readonly mm: readonly Point[];
  /** Logarithm of the luminance of blocks; of patches over their known one. */
  readonly logs: readonly number[];
  /** How each patch may be off; undefined for a block. */
  readonly patchSpread: readonly (number | undefined)[];
  /** What colour a block has: the logarithm of red and of blue over green. */
  readonly tints: readonly (readonly [number, number])[];
  /** Neighbouring blocks share the pattern of the table: this many say as much as one. */
  readonly alike: number;
}

/** Even a table without a pattern has noise that neighbours share. */
export const LEAST_ALIKE = 8;

/** One guess of the light: a smooth field, with or without an edge. */
export interface JointFit {
  readonly numbers: Float64Array;
  /** Lower factor of the precision of the numbers. */
  readonly factor: Float64Array;
  readonly edge?: { readonly shape: ShadowEdge; readonly depth: number };
  readonly terms: JointTerms;
  /** Standard deviation of a block around the field. */
  readonly blockSpread: number;
  /** Logarithm of each sample less the field. */
  readonly misses: Float64Array;
  /** What blocks and patches say against it; two apart is a factor of e. */
  readonly cost: number;
}

/** Standard deviations of the logarithm of light, from the middle of the picture to its edge. */
const SLOPE = 0.25;
const BEND = 0.12;
/** Of each term of the third and fourth power. */
const CURVE = 0.1;
const TINT = 6;
/**
 * The camera shows the same surface with a slightly other tint in less light. Where luminance follows so
 * small tints, they are no mark of the surface.
 */
const TINT_UNSURE = 0.0025;
const ANY = 4;
const DEPTH = 0.4;
const LEAST_SPREAD = 0.012;
const ROUNDS = 12;

/**
 * Which terms a fit has beside a quadratic field: the tint of the surface, and a field of the fourth
 * power for the dark corners of a lens and for several lamps. Such light is smooth: it has no edge.
 */
export interface JointTerms {
  readonly tinted: boolean;
  readonly curved: boolean;
}

/** Positions: constants of blocks and patches, two tints, then the field, then the edge. */
const FIRST_TINT = 2;
const FIRST_FIELD = 4;
const QUADRATIC = [SLOPE, SLOPE, BEND, BEND, BEND];
const FURTHER: readonly number[] = new Array(9).fill(CURVE);

/** Standard deviations of the terms of a fit, without an edge. */
export function jointPriors({ curved }: JointTerms): number[] {
  return [ANY, ANY, TINT, TINT, ...QUADRATIC, ...(curved ? FURTHER : [])];
}

/** Terms of one sample, without an edge. */
export function jointRow(shown: JointShown, i: number, terms: JointTerms): number[] {
  const patch = shown.patchSpread[i] !== undefined;
  const [red, blue] = patch || !terms.tinted ? [0, 0] : shown.tints[i];
  return [patch ? 0 : 1, patch ? 1 : 0, red, blue, ...field(shown.places[i], terms)];
}

function field([x, y]: Point, { curved }: JointTerms): number[] {
  const [xx, xy, yy] = [x * x, x * y, y * y];
  if (!curved) return [x, y, xx, xy, yy];
  return [
    ...[x, y, xx, xy, yy],
    ...[xx * x, xx * y, xy * y, yy * y],
    ...[xx * xx, xx * xy, xx * yy, xy * yy, yy * yy],
  ];
}

/**
 * Light over a table from its surface and a chart together.
 * Shape:   samples, perhaps an edge -> numbers, their precision, cost
 * Method:  quadratic in the logarithm, Gaussian priors on slope and bend, Tukey's weights on blocks
 * Source:  [Huber1981] for the weights
 */
export function jointFit(
  shown: JointShown,
  terms: JointTerms,
  edge?: { readonly shape: ShadowEdge; readonly depth: number },
): JointFit {
  const n = shown.logs.length;
  const rows = Array.from({ length: n }, (_, i) => [
    ...jointRow(shown, i, terms),
    ...(edge === undefined ? [] : [fallenTo(edge, shown.mm[i])]),
  ]);
  const size = rows[0].length;
  const smooth = jointPriors(terms);
  const priors = [...smooth, ...(edge === undefined ? [] : [DEPTH])];
  const middle = priors.map((_, a) => (a === smooth.length ? edge!.depth : 0));
  const blocks = [...shown.logs.keys()].filter((i) => shown.patchSpread[i] === undefined);
  const weights = new Float64Array(n).fill(1);
  let spread = 0.1;
  let numbers = new Float64Array(size);
  let factor = new Float64Array(size * size);
  const misses = new Float64Array(n);
  for (let round = 0; round < ROUNDS; round++) {
    factor = new Float64Array(size * size);
    numbers = new Float64Array(size);
    for (let a = 0; a < size; a++) {
      factor[a * size + a] = 1 / priors[a] ** 2;
      numbers[a] = middle[a] / priors[a] ** 2;
    }
    for (let i = 0; i < n; i++) {
      const own = shown.patchSpread[i];
      const precision =
        weights[i] * (own === undefined ? 1 / (shown.alike * spread ** 2) : 1 / own ** 2);
      for (let a = 0; a < size; a++) {
        const weighted = precision * rows[i][a];
        if (weighted === 0) continue;
        numbers[a] += weighted * shown.logs[i];
        for (let b = 0; b < size; b++) factor[a * size + b] += weighted * rows[i][b];
      }
    }
    choleskyInPlace(factor, size);
    forward(factor, numbers, size, 1);
    backward(factor, numbers, size);
    for (let i = 0; i < n; i++) {
      misses[i] = shown.logs[i];
      for (let a = 0; a < size; a++) misses[i] -= rows[i][a] * numbers[a];
    }
    const sizes = blocks.map((i) => Math.abs(misses[i])).sort((a, b) => a - b);
    spread = Math.hypot(
      Math.max(LEAST_SPREAD, 1.4826 * (sizes[sizes.length >> 1] ?? 0)),
      TINT_UNSURE * Math.hypot(numbers[FIRST_TINT], numbers[FIRST_TINT + 1]),
    );
    for (let i = 0; i < n; i++) {
      weights[i] = tukeyWeight(misses[i], shown.patchSpread[i] ?? spread);
    }
  }
  return {
    numbers,
    factor,
    ...(edge === undefined ? {} : { edge: { ...edge, depth: numbers[size - 1] } }),
    terms,
    blockSpread: spread,
    misses,
    cost: costOf(shown, misses, spread),
  };
}

/** Minus twice the logarithm of the likelihood, with Tukey's cost. */
function costOf(shown: JointShown, misses: Float64Array, spread: number): number {
  let sum = 0;
  for (let i = 0; i < misses.length; i++) {
    const own = shown.patchSpread[i];
    const cost = tukeyCost(misses[i], own ?? spread);
    sum += own === undefined ? (cost + 2 * Math.log(spread)) / shown.alike : cost;
  }
  return sum;
}

/** The logarithm of light at a place over that at the chart, and its standard deviation. */
export function jointAt(
  fit: JointFit,
  place: { readonly at: Point; readonly mm: Point },
  chart: { readonly at: Point; readonly mm: Point },
): { readonly log: number; readonly spread: number } {
  const size = fit.numbers.length;
  const step = new Float64Array(size);
  const [here, there] = [field(place.at, fit.terms), field(chart.at, fit.terms)];
  here.forEach((v, k) => {
    step[FIRST_FIELD + k] = v - there[k];
  });
  let blurred = 0;
  if (fit.edge !== undefined) {
    step[size - 1] = fallenTo(fit.edge, place.mm) - fallenTo(fit.edge, chart.mm);
    const fallen = shadowAt(fit.edge.shape, place.mm);
    blurred = EDGE_UNSURE * Math.abs(fit.edge.depth) * 4 * fallen * (1 - fallen);
  }
  let log = 0;
  for (let a = 0; a < size; a++) log += step[a] * fit.numbers[a];
  forward(fit.factor, step, size, 1);
  const variance = step.reduce((sum, v) => sum + v * v, 0);
  return { log, spread: Math.hypot(Math.sqrt(variance), blurred) };
}

/** Share of the depth of a shadow that is unsure in the middle of its edge. */
const EDGE_UNSURE = 0.3;

/** 0 before an edge, 1 behind it, and following the logarithm of light in between. */
function fallenTo(
  { shape, depth }: { readonly shape: ShadowEdge; readonly depth: number },
  mm: Point,
): number {
  if (Math.abs(depth) < 1e-6) return shadowAt(shape, mm);
  return fallIn(shadowAt(shape, mm), depth) / depth;
}
