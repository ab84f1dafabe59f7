import { solveInPlace } from '../numeric/dense-cholesky.ts';
import { tukeyWeight } from '../numeric/tukey.ts';
import type { PaperSample } from './bare-paper.ts';
import type { Point } from './plane-view.ts';
import {
  type EdgeFound,
  fallIn,
  type PaperShown,
  plainCost,
  type ShadowEdge,
  shadowAt,
  shadowEdge,
} from './shadow-edge.ts';
import type { SheetLayout } from './sheet-layout.ts';

/** Light over a sheet that changes slowly, except at the edges of up to two shadows. */
export interface SmoothLight {
  /** Numbers of each channel: logarithm of light as 1, x, y, xx, xy, yy (x and y are -1 to 1 across), then the shadows. */
  readonly numbers: readonly [Float64Array, Float64Array, Float64Array];
  readonly shadows: readonly Shadow[];
}

export interface Shadow {
  /** Seen from the middle of the sheet. */
  readonly edge: ShadowEdge;
  /** Logarithm of the light behind the edge over the light before it, all channels together. */
  readonly depth: number;
}

const ROUNDS = 12;
const LEAST_SPREAD = 0.002;
/**
 * Paper without a shadow costs less than this a sample; even where it costs more, an edge must save
 * something.
 */
const SHADOW_COST = 0.003;
const SHADOW_SAVES = 0.6;
const LEAST_DEPTH = 0.01;

export interface SmoothFit {
  readonly light: SmoothLight;
  /** Weight of a sample of paper, 0 to 1. */
  readonly weights: Float64Array;
  /** Logarithm of each channel of every sample, less the smooth light. */
  readonly beside: readonly (readonly [number, number, number])[];
}

/**
 * Smooth light through samples, some of which are not paper.
 * Shape:   samples, sheet -> light, weights, residuals; undefined where it cannot be found
 * Source:  quadratic in the logarithm by Tukey's weights, [Huber1981]
 */
export function smoothLight(
  samples: readonly PaperSample[],
  layout: SheetLayout,
): SmoothFit | undefined {
  const plain = samples.map(({ at }) => powers(at, layout));
  const logs = samples.map(({ light }) => light.map(Math.log));
  const places = samples.map(({ at }) => fromMiddle(at, layout));
  const shadows = shadowsOver({ places, rows: plain, logs: logs.map((log) => log[1]) });
  const rows = plain.map((row, i) => [...row, ...shadows.map((one) => fallen(one, places[i]))]);
  const weights = new Float64Array(samples.length).fill(1);
  let numbers: SmoothLight['numbers'] | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    const fitted = [0, 1, 2].map((c) =>
      weightedFit(
        rows,
        logs.map((log) => log[c]),
        weights,
      ),
    );
    if (fitted.some((f) => f === undefined)) return undefined;
    numbers = fitted as [Float64Array, Float64Array, Float64Array];
    const misses = logs.map((log, i) => log[1] - dot(numbers![1], rows[i]));
    const sizes = misses.map(Math.abs).sort((a, b) => a - b);
    const spread = Math.max(LEAST_SPREAD, 1.4826 * sizes[sizes.length >> 1]);
    misses.forEach((miss, i) => {
      weights[i] = tukeyWeight(miss, spread);
    });
  }
  return {
    light: { numbers: numbers!, shadows },
    weights,
    beside: logs.map(
      (log, i) => log.map((v, c) => v - dot(numbers![c], rows[i])) as [number, number, number],
    ),
  };
}

/**
 * At most two edges. Each must save much of the remaining cost; where two overlap, the first alone
 * may save little, so both are weighed as one.
 */
function shadowsOver(shown: PaperShown): Shadow[] {
  if (plainCost(shown) <= SHADOW_COST) return [];
  const first = shadowEdge(shown);
  const enough = (found: EdgeFound, before: number) =>
    found.cost < SHADOW_SAVES * before && Math.abs(found.depth) > LEAST_DEPTH;
  const alone = enough(first, first.plainCost);
  if (alone && first.cost <= SHADOW_COST) return [first];
  const second = shadowEdge(without(shown, first));
  if (!enough(second, alone ? first.cost : SHADOW_SAVES * first.plainCost)) {
    return alone ? [first] : [];
  }
  // The first edge was found while the second one disturbed it.
  const again = shadowEdge(without(shown, second));
  return again.cost < second.cost ? [again, second] : [first, second];
}

/** What the paper would show without a shadow. */
function without(shown: PaperShown, shadow: Shadow): PaperShown {
  const { places, logs } = shown;
  return { ...shown, logs: logs.map((log, i) => log - shadow.depth * fallen(shadow, places[i])) };
}

/** Logarithm of the smooth light at a place in mm, for each channel. */
export function smoothAt(
  { numbers, shadows }: SmoothLight,
  layout: SheetLayout,
  place: Point,
): [number, number, number] {
  const middle = fromMiddle(place, layout);
  const rows = [...powers(place, layout), ...shadows.map((shadow) => fallen(shadow, middle))];
  return numbers.map((n) => dot(n, rows)) as [number, number, number];
}

/** Share of each shadow that has fallen at a place in mm. */
export function shadowsFallen({ shadows }: SmoothLight, layout: SheetLayout, place: Point) {
  return shadows.map(({ edge }) => shadowAt(edge, fromMiddle(place, layout)));
}

/** 0 before the edge, 1 behind it, and following the logarithm of light in between. */
function fallen({ edge, depth }: Shadow, place: Point): number {
  return fallIn(shadowAt(edge, place), depth) / depth;
}

function fromMiddle([x, y]: Point, { widthMm, heightMm }: SheetLayout): Point {
  return [x - widthMm / 2, y - heightMm / 2];
}

function powers([xMm, yMm]: Point, layout: SheetLayout): readonly number[] {
  const x = (2 * xMm) / layout.widthMm - 1;
  const y = (2 * yMm) / layout.heightMm - 1;
  return [1, x, y, x * x, x * y, y * y];
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

function weightedFit(
  rows: readonly (readonly number[])[],
  values: readonly number[],
  weights: Float64Array,
): Float64Array | undefined {
  const n = rows[0].length;
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  rows.forEach((row, i) => {
    for (let a = 0; a < n; a++) {
      right[a] += weights[i] * row[a] * values[i];
      for (let b = 0; b < n; b++) normal[a * n + b] += weights[i] * row[a] * row[b];
    }
  });
  for (let a = 0; a < n; a++) normal[a * n + a] += 1e-6;
  solveInPlace(normal, right, n);
  return right.every(Number.isFinite) ? right : undefined;
}
