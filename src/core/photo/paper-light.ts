import { solveInPlace } from '../numeric/dense-cholesky.ts';
import type { Point } from './plane-view.ts';
import type { SheetBox, SheetLayout } from './sheet-layout.ts';

/** How much light falls where on a sheet, told by its white paper. */
export interface PaperLight {
  /** Six numbers a channel: logarithm of light as 1, x, y, xx, xy, yy; x and y are -1 to 1 across. */
  readonly numbers: readonly [Float64Array, Float64Array, Float64Array];
  /** Places of the samples, mm, and what they show beside that, as a logarithm for each channel. */
  readonly places: readonly Point[];
  readonly beside: readonly (readonly [number, number, number])[];
  /** Standard deviation of what paper shows beside both, as a part of the light. */
  readonly spread: number;
  /** Standard deviation of what is added nearby, as a part of the light: large where shadows end. */
  readonly unevenness: number;
  /** Part of the paper that was looked at and did not fit: shadows, dirt, things laid on it. */
  readonly unlike: number;
}

export interface PaperSample {
  readonly at: Point;
  readonly light: readonly [number, number, number];
}

const STEP_MM = 4;
/** How far from anything printed or laid down paper counts as bare. */
const CLEAR_MM = 3;
/** A tile may lie out of its place by so much, and throws a shadow. */
const TILE_MM = 6;
const LEAST_SAMPLES = 40;
/** Logarithm of a ratio of channels by which paper differs from paper, under two lamps, at most. */
const OTHER_TINT = 0.2;
const ROUNDS = 12;
/** Tukey's constant for 95 % efficiency, [Huber1981]. */
const TUKEY = 4.685;

/** Places on a sheet where only white paper should be. */
export function barePaper(layout: SheetLayout): Point[] {
  const boxes: SheetBox[] = [
    ...layout.printed,
    ...layout.markers.map(({ at, sideMm }) => ({ at, widthMm: sideMm, heightMm: sideMm })),
    ...layout.places.map(({ centre, sideMm }) => {
      const side = sideMm + 2 * (TILE_MM - CLEAR_MM);
      return {
        at: [centre[0] - side / 2, centre[1] - side / 2] as const,
        widthMm: side,
        heightMm: side,
      };
    }),
    ...(layout.chart === undefined ? [] : [layout.chart]),
  ];
  const out: Point[] = [];
  for (let y = CLEAR_MM; y < layout.heightMm - CLEAR_MM; y += STEP_MM) {
    for (let x = CLEAR_MM; x < layout.widthMm - CLEAR_MM; x += STEP_MM) {
      const covered = boxes.some(
        ({ at, widthMm, heightMm }) =>
          x > at[0] - CLEAR_MM &&
          x < at[0] + widthMm + CLEAR_MM &&
          y > at[1] - CLEAR_MM &&
          y < at[1] + heightMm + CLEAR_MM,
      );
      if (!covered) out.push([x, y]);
    }
  }
  return out;
}

/**
 * The light over a sheet, smooth, from samples of its paper of which some are in shadow or covered.
 * Shape:   linear light of paper at places in mm -> light; undefined with too few samples
 * Holds:   tells only how light differs from place to place. Paper glows under ultraviolet, so its
 *          colour is never taken for white
 * Source:  quadratic in the logarithm by Tukey's weights, [Huber1981]; of what is left the median nearby
 */
export function paperLight(
  samples: readonly PaperSample[],
  layout: SheetLayout,
): PaperLight | undefined {
  if (samples.length < LEAST_SAMPLES) return undefined;
  const green = samples.map(({ light }) => light[1]).sort((a, b) => a - b);
  const pale = green[Math.floor(0.9 * green.length)];
  // Ink, tiles and deep shadow are no paper; nor is what has another colour: hands, wood, packets.
  const bright = samples.filter(({ light }) => light.every((v) => v > 0) && light[1] > 0.35 * pale);
  const tints = [0, 2].map((c) => {
    const logs = bright.map(({ light }) => Math.log(light[c] / light[1])).sort((a, b) => a - b);
    return logs[logs.length >> 1];
  });
  const used = bright.filter(({ light }) =>
    [0, 2].every((c, k) => Math.abs(Math.log(light[c] / light[1]) - tints[k]) < OTHER_TINT),
  );
  if (used.length < LEAST_SAMPLES) return undefined;
  const rows = used.map(({ at }) => powers(at, layout));
  const weights = new Float64Array(used.length).fill(1);
  let numbers: [Float64Array, Float64Array, Float64Array] | undefined;
  let spread = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const fitted = [0, 1, 2].map((c) =>
      weightedFit(
        rows,
        used.map(({ light }) => Math.log(light[c])),
        weights,
      ),
    );
    if (fitted.some((f) => f === undefined)) return undefined;
    numbers = fitted as [Float64Array, Float64Array, Float64Array];
    const misses = used.map(({ light }, i) => Math.log(light[1]) - dot(numbers![1], rows[i]));
    const sizes = misses.map(Math.abs).sort((a, b) => a - b);
    spread = Math.max(0.002, 1.4826 * sizes[sizes.length >> 1]);
    misses.forEach((miss, i) => {
      const u = miss / (TUKEY * spread);
      weights[i] = Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
    });
  }
  const unlike = weights.filter((w) => w < 0.05).length / samples.length;
  const beside = used.map(
    ({ light }, i) =>
      light.map((v, c) => Math.log(v) - dot(numbers![c], rows[i])) as [number, number, number],
  );
  const made: PaperLight = {
    numbers: numbers!,
    places: used.map(({ at }) => at),
    beside,
    spread,
    unevenness: 0,
    unlike: unlike + (samples.length - used.length) / samples.length,
  };
  const left = used
    .map(({ at }, i) => Math.abs(beside[i][1] - localBeside(made, at, i)[1]))
    .sort((a, b) => a - b);
  const asked = whatMatters(layout).map((at) => localBeside(made, at)[1]);
  return {
    ...made,
    spread: Math.max(0.002, 1.4826 * left[left.length >> 1]),
    unevenness: Math.sqrt(asked.reduce((sum, v) => sum + v * v, 0) / asked.length),
  };
}

/** Places of tiles, and round the chart: light elsewhere spoils nothing. */
function whatMatters({ places, chart, widthMm, heightMm }: SheetLayout): Point[] {
  const out: Point[] = places.map(({ centre }) => centre);
  if (chart !== undefined) {
    const [x, y] = chart.at;
    for (const part of [0, 0.5, 1]) {
      out.push([x + part * chart.widthMm, y], [x + part * chart.widthMm, y + chart.heightMm]);
      out.push([x, y + part * chart.heightMm], [x + chart.widthMm, y + part * chart.heightMm]);
    }
  }
  return out.length > 0 ? out : [[widthMm / 2, heightMm / 2]];
}

/** How far a piece of paper tells of the light beside it, mm. */
const LOCAL_MM = 12;
/** So many samples' worth of belief that the smooth light is right as it is. */
const SMOOTH_WORTH = 2;

/**
 * What the paper near a place shows beside the smooth light: the edge of a shadow, a lamp too near.
 * Shape:   light, place in mm, index of a sample that does not count -> logarithm for each channel
 */
function localBeside(light: PaperLight, [x, y]: Point, without = -1): [number, number, number] {
  const near: { readonly index: number; readonly weight: number }[] = [];
  let total = 0;
  for (let index = 0; index < light.places.length; index++) {
    if (index === without) continue;
    const [px, py] = light.places[index];
    const squared = (px - x) ** 2 + (py - y) ** 2;
    if (squared > 9 * LOCAL_MM * LOCAL_MM) continue;
    const weight = Math.exp(-squared / (2 * LOCAL_MM * LOCAL_MM));
    total += weight;
    near.push({ index, weight });
  }
  const belief = total / (total + SMOOTH_WORTH);
  return [0, 1, 2].map((c) => belief * weightedMedian(near, total, light.beside, c)) as [
    number,
    number,
    number,
  ];
}

/** Dirt and things laid down pull no median. */
function weightedMedian(
  near: readonly { readonly index: number; readonly weight: number }[],
  total: number,
  values: PaperLight['beside'],
  channel: number,
): number {
  let reached = 0;
  for (const { index, weight } of near.toSorted(
    (a, b) => values[a.index][channel] - values[b.index][channel],
  )) {
    reached += weight;
    if (reached >= total / 2) return values[index][channel];
  }
  return 0;
}

/** Light at one place against another, for each channel. */
export function lightAgainst(
  light: PaperLight,
  layout: SheetLayout,
  here: Point,
  there: Point,
): [number, number, number] {
  const a = paperAt(light, layout, here);
  const b = paperAt(light, layout, there);
  return [a[0] / b[0], a[1] / b[1], a[2] / b[2]];
}

/** Linear light of the paper itself at a place, for each channel. */
export function paperAt(
  light: PaperLight,
  layout: SheetLayout,
  place: Point,
): [number, number, number] {
  const row = powers(place, layout);
  const beside = localBeside(light, place);
  return light.numbers.map((n, c) => Math.exp(dot(n, row) + beside[c])) as [number, number, number];
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
