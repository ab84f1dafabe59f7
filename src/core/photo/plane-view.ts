import { solveInPlace } from '../numeric/dense-cholesky.ts';

export type Point = readonly [number, number];

/** Corners of something with four sides: top left, then clockwise. */
export type Corners = readonly [Point, Point, Point, Point];

export function mapCorners(
  [a, b, c, d]: Corners,
  to: (corner: Point, number: number) => Point,
): Corners {
  return [to(a, 0), to(b, 1), to(c, 2), to(d, 3)];
}

/**
 * How a flat thing appears in a picture: perspective, and the distortion of the lens around the
 * middle.
 */
export interface PlaneView {
  /** 3 x 3 by rows, from places on the thing to pixels of a lens without distortion. */
  readonly perspective: readonly number[];
  readonly middle: Point;
  /** Half of the longer side, pixels: the radius that `bend` refers to. */
  readonly reach: number;
  /** Share by which a ray at `reach` lands further out; 0 for a lens without distortion. */
  readonly bend: number;
}

export interface PlaneFit {
  readonly view: PlaneView;
  /** Root mean square of the misses, pixels. */
  readonly missPx: number;
}

/** Pixel of a place on the thing. */
export function pixelOf(view: PlaneView, [x, y]: Point): Point {
  const m = view.perspective;
  const w = m[6] * x + m[7] * y + m[8];
  const dx = (m[0] * x + m[1] * y + m[2]) / w - view.middle[0];
  const dy = (m[3] * x + m[4] * y + m[5]) / w - view.middle[1];
  const stretch = 1 + (view.bend * (dx * dx + dy * dy)) / (view.reach * view.reach);
  return [view.middle[0] + dx * stretch, view.middle[1] + dy * stretch];
}

/** Place on the thing of a pixel: the inverse of `pixelOf`. */
export function placeInPlane(view: PlaneView, [x, y]: Point): Point {
  const m = view.perspective;
  const dx = x - view.middle[0];
  const dy = y - view.middle[1];
  let stretch = 1;
  for (let round = 0; round < UNBEND_ROUNDS; round++) {
    const squared = (dx * dx + dy * dy) / (stretch * stretch);
    stretch = 1 + (view.bend * squared) / (view.reach * view.reach);
  }
  const u = view.middle[0] + dx / stretch;
  const v = view.middle[1] + dy / stretch;
  const minor = (r: number, c: number) => {
    const [r1, r2] = [(r + 1) % 3, (r + 2) % 3];
    const [c1, c2] = [(c + 1) % 3, (c + 2) % 3];
    return m[3 * r1 + c1] * m[3 * r2 + c2] - m[3 * r1 + c2] * m[3 * r2 + c1];
  };
  const w = minor(0, 2) * u + minor(1, 2) * v + minor(2, 2);
  return [
    (minor(0, 0) * u + minor(1, 0) * v + minor(2, 0)) / w,
    (minor(0, 1) * u + minor(1, 1) * v + minor(2, 1)) / w,
  ];
}

/** Distortions of a few per cent settle to a thousandth of a pixel in this many rounds. */
const UNBEND_ROUNDS = 8;

/**
 * Perspective through pairs of places, by least squares of the pixel misses.
 * Shape:   at least four pairs, no three of the four on a line -> view; undefined where they do not
 *          span a plane
 * Source:  [HartleyZisserman2004] ch. 4 (normalised direct linear form, then Gauss-Newton); one
 *          radial term as ibid. ch. 7.4
 */
export function planeThrough(
  places: readonly Point[],
  pixels: readonly Point[],
  picture: { readonly width: number; readonly height: number },
  bending = false,
): PlaneFit | undefined {
  const first = directPerspective(places, pixels);
  if (first === undefined) return undefined;
  const middle: Point = [picture.width / 2, picture.height / 2];
  const reach = Math.max(picture.width, picture.height) / 2;
  let view: PlaneView = { perspective: first, middle, reach, bend: 0 };
  let damping = 1e-9;
  for (let round = 0; round < ROUNDS && damping < MOST_DAMPING; round++) {
    const next = improved(view, places, pixels, bending, damping);
    if (next === undefined) damping = Math.max(1e-4, damping * 10);
    else {
      view = next;
      damping = Math.max(1e-9, damping / 10);
    }
  }
  return { view, missPx: missOf(view, places, pixels) };
}

function missOf(view: PlaneView, places: readonly Point[], pixels: readonly Point[]): number {
  let sum = 0;
  places.forEach((place, i) => {
    const [x, y] = pixelOf(view, place);
    sum += (x - pixels[i][0]) ** 2 + (y - pixels[i][1]) ** 2;
  });
  return Math.sqrt(sum / places.length);
}

const ROUNDS = 20;
/** With this much damping, nothing moves any more. */
const MOST_DAMPING = 1e4;
/** Prior standard deviation of `bend`: phone lenses distort by a few per cent at most. */
const BEND_SPREAD = 0.05;
/**
 * Standard deviation of a corner found, pixels; common practice, no source. Misses are weighed
 * against it.
 */
const CORNER_SPREAD = 0.3;

function improved(
  view: PlaneView,
  places: readonly Point[],
  pixels: readonly Point[],
  bending: boolean,
  damping: number,
): PlaneView | undefined {
  const size = bending ? 9 : 8;
  const normal = new Float64Array(size * size);
  const right = new Float64Array(size);
  const with_ = (k: number, by: number): PlaneView =>
    k === 8
      ? { ...view, bend: view.bend + by }
      : { ...view, perspective: view.perspective.map((v, i) => (i === k ? v + by : v)) };
  const steps = Array.from({ length: size }, (_, k) =>
    k === 8 ? 1e-4 : 1e-6 * Math.max(1e-3, Math.abs(view.perspective[k])),
  );
  const moved = steps.map((step, k) => with_(k, step));
  places.forEach((place, i) => {
    const at = pixelOf(view, place);
    const slopes = moved.map((other, k) => {
      const there = pixelOf(other, place);
      return [(there[0] - at[0]) / steps[k], (there[1] - at[1]) / steps[k]];
    });
    for (let c = 0; c < 2; c++) {
      const miss = pixels[i][c] - at[c];
      for (let a = 0; a < size; a++) {
        right[a] += slopes[a][c] * miss;
        for (let b = 0; b < size; b++) normal[a * size + b] += slopes[a][c] * slopes[b][c];
      }
    }
  });
  if (bending) {
    const weight = (CORNER_SPREAD / BEND_SPREAD) ** 2;
    normal[80] += weight;
    right[8] -= weight * view.bend;
  }
  // Numbers of a perspective differ by many decades, so each is measured in units of its own slope.
  const unit = Array.from({ length: size }, (_, a) => 1 / Math.sqrt(normal[a * size + a] || 1));
  for (let a = 0; a < size; a++) {
    right[a] *= unit[a];
    for (let b = 0; b < size; b++) normal[a * size + b] *= unit[a] * unit[b];
    normal[a * size + a] += damping;
  }
  try {
    solveInPlace(normal, right, size);
  } catch {
    return undefined;
  }
  const next: PlaneView = {
    ...view,
    perspective: view.perspective.map((v, k) => (k < 8 ? v + right[k] * unit[k] : v)),
    bend: bending ? view.bend + right[8] * unit[8] : view.bend,
  };
  return missOf(next, places, pixels) <= missOf(view, places, pixels) ? next : undefined;
}

function directPerspective(
  places: readonly Point[],
  pixels: readonly Point[],
): readonly number[] | undefined {
  if (places.length < 4 || onOneLine(places) || onOneLine(pixels)) return undefined;
  const from = normaliser(places);
  const to = normaliser(pixels);
  const size = 8;
  const normal = new Float64Array(size * size);
  const right = new Float64Array(size);
  places.forEach((place, i) => {
    const x = (place[0] - from.x) / from.scale;
    const y = (place[1] - from.y) / from.scale;
    const u = (pixels[i][0] - to.x) / to.scale;
    const v = (pixels[i][1] - to.y) / to.scale;
    for (const [row, value] of [
      [[x, y, 1, 0, 0, 0, -u * x, -u * y], u],
      [[0, 0, 0, x, y, 1, -v * x, -v * y], v],
    ] as const) {
      for (let a = 0; a < size; a++) {
        right[a] += row[a] * value;
        for (let b = 0; b < size; b++) normal[a * size + b] += row[a] * row[b];
      }
    }
  });
  for (let a = 0; a < size; a++) normal[a * size + a] += 1e-10;
  try {
    solveInPlace(normal, right, size);
  } catch {
    return undefined;
  }
  const h = [...right, 1];
  // Back from the normalised places: T_to^-1 H T_from.
  const a = h.map((value, i) =>
    i % 3 === 2 ? value - (h[i - 2] * from.x + h[i - 1] * from.y) / from.scale : value / from.scale,
  );
  const out = [0, 1, 2].flatMap((c) => [
    to.scale * a[c] + to.x * a[6 + c],
    to.scale * a[3 + c] + to.y * a[6 + c],
    a[6 + c],
  ]);
  const rows = [out[0], out[3], out[6], out[1], out[4], out[7], out[2], out[5], out[8]];
  if (!rows.every(Number.isFinite) || Math.abs(rows[8]) < 1e-12) return undefined;
  return rows.map((v) => v / rows[8]);
}

/** Whether the spread across the longest direction is practically 0. */
function onOneLine(points: readonly Point[]): boolean {
  const { x, y } = normaliser(points);
  let [xx, xy, yy] = [0, 0, 0];
  for (const p of points) {
    xx += (p[0] - x) ** 2;
    xy += (p[0] - x) * (p[1] - y);
    yy += (p[1] - y) ** 2;
  }
  return xx * yy - xy * xy <= 1e-6 * (xx + yy) ** 2;
}

function normaliser(points: readonly Point[]): { x: number; y: number; scale: number } {
  const n = points.length;
  const x = points.reduce((sum, p) => sum + p[0], 0) / n;
  const y = points.reduce((sum, p) => sum + p[1], 0) / n;
  const scale = Math.sqrt(points.reduce((s, p) => s + (p[0] - x) ** 2 + (p[1] - y) ** 2, 0) / n);
  return { x, y, scale: scale || 1 };
}
