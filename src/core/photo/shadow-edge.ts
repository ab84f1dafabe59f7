import { solveInPlace } from '../numeric/dense-cholesky.ts';
import type { Point } from './plane-view.ts';

/** The edge of a shadow on a sheet: straight, or curved like the head or hand that casts it. */
export interface ShadowEdge {
  /** Direction across the edge, radians, and the distance of the edge along it, mm. */
  readonly angle: number;
  readonly offsetMm: number;
  /** Distance over which the light falls, mm. */
  readonly softMm: number;
  /** Curvature of a circle, one over its radius; 0 for a straight edge. */
  readonly bulgePerMm: number;
}

export interface EdgeFound {
  readonly edge: ShadowEdge;
  /** Logarithm of the light behind the edge over the light before it. */
  readonly depth: number;
  /** Mean cost of a sample with the edge and without one. */
  readonly cost: number;
  readonly plainCost: number;
}

/**
 * Samples of paper: places in mm from the middle of the sheet, smooth terms, logarithm of light.
 */
export interface PaperShown {
  readonly places: readonly Point[];
  readonly rows: readonly (readonly number[])[];
  readonly logs: readonly number[];
  /** How much each sample counts; one each when absent. */
  readonly worth?: readonly number[];
  /** Residual below which a sample is as expected; that of paper when absent. */
  readonly even?: number;
  /** How firmly each smooth term is held at 0, in samples; hardly at all when absent. */
  readonly hold?: readonly number[];
  /** How many edges to look at that differ; the best few when absent, however alike. */
  readonly apart?: number;
}

/** Samples that the search uses at first; all of them are used in the end. */
const FIRST_LOOK = 160;
const DIRECTIONS = 12;
const OFFSETS = 9;
const SOFT_MM = [3, 9];
const BULGES = [-1 / 100, 0, 1 / 100];
const LEADERS = 3;
/** Edges closer than this, radians, and in one unit of distance, are one. */
const SAME_ANGLE = 0.3;
const ROUNDS = 25;
/**
 * Residuals below this count by their square, larger ones by their size; as a logarithm of light.
 */
const PAPER_EVEN = 0.006;
/** A sample with a residual this many times as large is something else: it counts no more. */
const FARTHEST = 10;
const WEIGHINGS = 4;
/** Scales that make a step of one about equal in each number. */
const UNIT = { offset: 30, bulge: 1 / 100 };
const STEP = 1e-4;

/** Less curvature than this is none, per mm. */
const STRAIGHT = 1e-6;

/** Share of the shadow that has fallen at a place, 0 to 1. */
export function shadowAt(edge: ShadowEdge, [x, y]: Point): number {
  const cos = Math.cos(edge.angle);
  const sin = Math.sin(edge.angle);
  const along = y * cos - x * sin;
  const across = x * cos + y * sin - edge.offsetMm;
  const bent = edge.bulgePerMm;
  // How far within a circle that touches the edge where it is closest to the middle.
  const into =
    Math.abs(bent) < STRAIGHT ? across : (1 - Math.hypot(1 - bent * across, bent * along)) / bent;
  return 1 / (1 + Math.exp(-into / edge.softMm));
}

/** A shadow leaves at least a twentieth of the light: anything darker is not paper. */
const DEEPEST = 3;

/**
 * Logarithm of the light where a share of a shadow has fallen; the whole shadow changes it by
 * `whole`.
 */
export function fallIn(part: number, whole: number): number {
  return Math.log1p(Math.expm1(Math.min(DEEPEST, Math.max(-DEEPEST, whole))) * part);
}

/** Mean cost of a sample when the light is smooth and has no edge. */
export function plainCost(shown: PaperShown): number {
  return smoothFit(shown, undefined).cost;
}

/**
 * The edge that, together with a smooth light, explains best what the paper shows.
 * Method:  directions, places, widths and curvatures of an edge on a grid, smooth terms and depth
 *          solved for each; from the best few all numbers are improved together by damped
 *          Gauss-Newton
 * Shape:   samples, an edge from which to begin where one is known -> edge, depth, costs
 * Limits:  a second edge is not found; light without an edge gets one that gains little
 * Source:  absolute misses by weights, [Huber1981]
 */
export function shadowEdge(shown: PaperShown): EdgeFound {
  const [best] = likelyEdges(shown);
  return { ...best, plainCost: plainCost(shown) };
}

/** The best few edges of `shadowEdge`, the best first. */
export function likelyEdges(
  shown: PaperShown,
  begin?: readonly ShadowEdge[],
): readonly Omit<EdgeFound, 'plainCost'>[] {
  const starts = begin === undefined ? leaders(shown) : begin.map(numbersOf);
  return starts.map((at) => downhill(shown, at)).sort((a, b) => a.cost - b.cost);
}

/** The best few edges of the grid. */
function leaders(shown: PaperShown): readonly (readonly number[])[] {
  const { places, rows, logs, worth } = shown;
  const step = Math.max(1, Math.ceil(places.length / FIRST_LOOK));
  const few = [...places.keys()].filter((i) => i % step === 0);
  const first: PaperShown = {
    places: few.map((i) => places[i]),
    rows: few.map((i) => rows[i]),
    logs: few.map((i) => logs[i]),
    ...(worth === undefined ? {} : { worth: few.map((i) => worth[i]) }),
    ...(shown.even === undefined ? {} : { even: shown.even }),
    ...(shown.apart === undefined ? {} : { apart: shown.apart }),
    ...(shown.hold === undefined ? {} : { hold: shown.hold.map((firm) => firm / step) }),
  };
  const tried: { readonly at: number[]; readonly cost: number }[] = [];
  for (let d = 0; d < DIRECTIONS; d++) {
    const angle = (Math.PI * d) / DIRECTIONS;
    const across = first.places
      .map(([x, y]) => x * Math.cos(angle) + y * Math.sin(angle))
      .sort((a, b) => a - b);
    for (let k = 1; k <= OFFSETS; k++) {
      const offset = across[Math.floor((k / (OFFSETS + 1)) * across.length)];
      for (const soft of SOFT_MM) {
        for (const bulge of BULGES) {
          const at = [angle, offset / UNIT.offset, Math.log(soft), bulge / UNIT.bulge];
          tried.push({ at, cost: smoothFit(first, edgeOf(at)).cost });
        }
      }
    }
  }
  tried.sort((a, b) => a.cost - b.cost);
  const { apart } = shown;
  if (apart === undefined) return tried.slice(0, LEADERS).map(({ at }) => at);
  const leading: number[][] = [];
  for (const { at } of tried) {
    if (leading.length === apart) break;
    if (leading.every((other) => !sameEdge(at, other))) leading.push(at);
  }
  return leading;
}

/** Whether two edges of the grid are neighbours, whatever their softness. */
function sameEdge(one: readonly number[], other: readonly number[]): boolean {
  const turned = Math.abs(one[0] - other[0]);
  const angle = Math.min(turned, Math.PI - turned);
  return angle < SAME_ANGLE && Math.abs(one[1] - other[1]) < 1;
}

function numbersOf({ angle, offsetMm, softMm, bulgePerMm }: ShadowEdge): number[] {
  return [angle, offsetMm / UNIT.offset, Math.log(softMm), bulgePerMm / UNIT.bulge];
}

/** A softer edge does not count as one, and a sharper one looks like one of a millimetre. */
const SOFTEST_MM = 25;

function edgeOf([angle, offset, soft, bulge]: Iterable<number>): ShadowEdge {
  return {
    angle,
    offsetMm: offset * UNIT.offset,
    softMm: Math.min(SOFTEST_MM, Math.max(1, Math.exp(soft))),
    bulgePerMm: Math.min(1 / 40, Math.max(-1 / 40, bulge * UNIT.bulge)),
  };
}

/** Smooth terms and, with an edge, the depth of its shadow. */
function smoothFit(shown: PaperShown, edge: ShadowEdge | undefined) {
  const { places, rows, logs, worth, even = PAPER_EVEN, hold } = shown;
  const all = worth === undefined ? logs.length : worth.reduce((sum, w) => sum + w, 0);
  const n = logs.length;
  const plain = rows[0].length;
  const size = plain + (edge === undefined ? 0 : 1);
  const table = new Float64Array(n * size);
  const fallen = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    for (let a = 0; a < plain; a++) table[i * size + a] = rows[i][a];
    if (edge === undefined) continue;
    fallen[i] = shadowAt(edge, places[i]);
    table[i * size + plain] = fallen[i];
  }
  const misses = new Float64Array(n);
  const normal = new Float64Array(size * size);
  const numbers = new Float64Array(size);
  let cost = 0;
  for (let round = 0; round < WEIGHINGS; round++) {
    normal.fill(0);
    numbers.fill(0);
    for (let i = 0; i < n; i++) {
      const weight = (worth?.[i] ?? 1) * (round === 0 ? 1 : weightOf(misses[i], even));
      const at = i * size;
      for (let a = 0; a < size; a++) {
        const weighted = weight * table[at + a];
        numbers[a] += weighted * logs[i];
        for (let b = 0; b <= a; b++) normal[a * size + b] += weighted * table[at + b];
      }
    }
    hold?.forEach((firm, a) => {
      normal[a * size + a] += firm;
    });
    solveLower(normal, numbers, size, 1e-6);
    // A deep shadow falls differently in the logarithm than a faint one.
    if (edge !== undefined && round < WEIGHINGS - 1 && Math.abs(numbers[plain]) > 1e-6) {
      for (let i = 0; i < n; i++) {
        table[i * size + plain] = fallIn(fallen[i], numbers[plain]) / numbers[plain];
      }
    }
    cost = 0;
    for (let i = 0; i < n; i++) {
      misses[i] = logs[i];
      for (let a = 0; a < size; a++) misses[i] -= table[i * size + a] * numbers[a];
      cost += ((worth?.[i] ?? 1) * costOf(misses[i], even)) / all;
    }
  }
  return { numbers, cost };
}

function weightOf(miss: number, even: number): number {
  const away = Math.abs(miss);
  return away > FARTHEST * even ? 0 : even / Math.max(even, away);
}

function costOf(miss: number, even: number): number {
  const away = Math.min(FARTHEST * even, Math.abs(miss));
  return away < even ? (away * away) / (2 * even) : away - even / 2;
}

/** Smooth terms, depth and edge together, from a first edge. */
function downhill(shown: PaperShown, start: readonly number[]) {
  const { places, rows, logs, worth, even = PAPER_EVEN, hold } = shown;
  const all = worth === undefined ? logs.length : worth.reduce((sum, w) => sum + w, 0);
  const n = logs.length;
  const plain = rows[0].length;
  const { numbers } = smoothFit(shown, edgeOf(start));
  let now = Float64Array.of(...numbers, ...start);
  const size = now.length;
  const missesAt = (at: Float64Array) => {
    const edge = edgeOf(at.subarray(plain + 1));
    return Float64Array.from(logs, (log, i) => {
      let miss = log - fallIn(shadowAt(edge, places[i]), at[plain]);
      for (let a = 0; a < plain; a++) miss -= rows[i][a] * at[a];
      return miss;
    });
  };
  const total = (misses: Float64Array) =>
    misses.reduce((sum, m, i) => sum + (worth?.[i] ?? 1) * costOf(m, even), 0) / all;
  let misses = missesAt(now);
  let cost = total(misses);
  let damping = 1e-3;
  for (let round = 0; round < ROUNDS && damping < 1e6; round++) {
    const slopes = Array.from({ length: size - plain }, (_, k) => {
      const there = now.slice();
      there[plain + k] += STEP;
      return missesAt(there).map((m, i) => (misses[i] - m) / STEP);
    });
    const normal = new Float64Array(size * size);
    const right = new Float64Array(size);
    const row = new Float64Array(size);
    for (let i = 0; i < n; i++) {
      const weight = (worth?.[i] ?? 1) * weightOf(misses[i], even);
      if (weight === 0) continue;
      for (let a = 0; a < size; a++) row[a] = a < plain ? rows[i][a] : slopes[a - plain][i];
      for (let a = 0; a < size; a++) {
        right[a] += weight * row[a] * misses[i];
        for (let b = 0; b <= a; b++) normal[a * size + b] += weight * row[a] * row[b];
      }
    }
    hold?.forEach((firm, a) => {
      right[a] -= firm * now[a];
      normal[a * size + a] += firm;
    });
    const before = cost;
    for (; damping < 1e6; damping *= 10) {
      const damped = normal.slice();
      const step = right.slice();
      for (let a = 0; a < size; a++) damped[a * size + a] *= 1 + damping;
      solveLower(damped, step, size, 1e-9);
      const next = now.map((v, a) => v + step[a]);
      const there = missesAt(next);
      const nextCost = total(there);
      if (nextCost <= cost) {
        [now, misses, cost] = [next, there, nextCost];
        damping = Math.max(1e-6, damping / 10);
        break;
      }
    }
    if (before - cost < 1e-4 * before) break;
  }
  const depth = Math.min(DEEPEST, Math.max(-DEEPEST, now[plain]));
  return { edge: edgeOf(now.subarray(plain + 1)), depth, cost };
}

/**
 * Solves with the lower half filled in; a little on the diagonal holds numbers that no sample
 * determines.
 */
function solveLower(normal: Float64Array, right: Float64Array, size: number, least: number): void {
  for (let a = 0; a < size; a++) {
    normal[a * size + a] += least;
    for (let b = a + 1; b < size; b++) normal[a * size + b] = normal[b * size + a];
  }
  solveInPlace(normal, right, size);
}
