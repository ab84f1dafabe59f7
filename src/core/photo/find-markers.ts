import { MARKER_CODES } from './marker-codes.ts';
import type { SmallPicture } from './picture.ts';
import { type PlaneView, type Point, pixelOf, planeThrough } from './plane-view.ts';

export interface FoundMarker {
  readonly id: number;
  /** Top left, top right, bottom right, bottom left of the black square as printed. */
  readonly corners: readonly [Point, Point, Point, Point];
  /** Cells that were not as they should be. */
  readonly wrongCells: number;
}

const INNER = 6;
const CELLS = INNER + 2;
/** The dictionary would bear five; three keep a chance pattern out. */
const MOST_WRONG = 3;
const MOST_WRONG_BORDER = 3;
const LEAST_SIDE = 14;
/** Sides of the square the light is averaged over, as parts of the longer side; a marker must fit in. */
const WINDOWS = [1 / 8, 1 / 20];
/** Darker than this part of its surroundings counts as ink. */
const INK = [0.75, 0.55];

/** Every marker of the dictionary in a small picture; corners to a fraction of its pixel. */
export function findMarkers(small: SmallPicture): FoundMarker[] {
  const grey = greyOf(small);
  const { width, height } = small;
  const best = new Map<number, FoundMarker>();
  for (const window of WINDOWS) {
    const around = boxMean(grey, width, height, Math.round(Math.max(width, height) * window));
    for (const ink of INK) {
      const dark = new Uint8Array(grey.length);
      for (let i = 0; i < dark.length; i++) if (grey[i] < ink * around[i]) dark[i] = 1;
      for (const outline of outlines(dark, width, height)) {
        const corners = cornersOf(outline);
        const marker = corners === undefined ? undefined : readMarker(grey, width, height, corners);
        const before = marker === undefined ? undefined : best.get(marker.id);
        if (
          marker !== undefined &&
          (before === undefined || marker.wrongCells < before.wrongCells)
        ) {
          best.set(marker.id, marker);
        }
      }
    }
  }
  return [...best.values()].sort((a, b) => a.id - b.id);
}

function greyOf({ channels }: SmallPicture): Float32Array {
  const grey = new Float32Array(channels.length / 3);
  for (let i = 0; i < grey.length; i++) {
    // The channel that is least there tells ink from coloured things best.
    grey[i] = (channels[3 * i] + 2 * channels[3 * i + 1] + channels[3 * i + 2]) / 4;
  }
  return grey;
}

function boxMean(grey: Float32Array, width: number, height: number, side: number): Float32Array {
  const sums = new Float64Array((width + 1) * (height + 1));
  for (let y = 0; y < height; y++) {
    let row = 0;
    for (let x = 0; x < width; x++) {
      row += grey[y * width + x];
      sums[(y + 1) * (width + 1) + x + 1] = sums[y * (width + 1) + x + 1] + row;
    }
  }
  const out = new Float32Array(grey.length);
  const half = side >> 1;
  for (let y = 0; y < height; y++) {
    const y0 = Math.max(0, y - half);
    const y1 = Math.min(height, y + half + 1);
    for (let x = 0; x < width; x++) {
      const x0 = Math.max(0, x - half);
      const x1 = Math.min(width, x + half + 1);
      const total =
        sums[y1 * (width + 1) + x1] -
        sums[y0 * (width + 1) + x1] -
        sums[y1 * (width + 1) + x0] +
        sums[y0 * (width + 1) + x0];
      out[y * width + x] = total / ((y1 - y0) * (x1 - x0));
    }
  }
  return out;
}

/** Outer edge of every dark piece of a likely size, pixel by pixel round it. */
function outlines(dark: Uint8Array, width: number, height: number): Point[][] {
  const seen = new Uint8Array(dark.length);
  const stack = new Int32Array(dark.length);
  const out: Point[][] = [];
  for (let start = 0; start < dark.length; start++) {
    if (dark[start] === 0 || seen[start] === 1) continue;
    let depth = 0;
    let [left, right, top, bottom] = [width, 0, height, 0];
    seen[start] = 1;
    stack[depth++] = start;
    let count = 0;
    while (depth > 0) {
      const at = stack[--depth];
      const x = at % width;
      const y = (at - x) / width;
      count++;
      left = Math.min(left, x);
      right = Math.max(right, x);
      top = Math.min(top, y);
      bottom = Math.max(bottom, y);
      if (x > 0) depth = visit(at - 1, depth);
      if (x < width - 1) depth = visit(at + 1, depth);
      if (y > 0) depth = visit(at - width, depth);
      if (y < height - 1) depth = visit(at + width, depth);
    }
    const wide = right - left + 1;
    const tall = bottom - top + 1;
    if (Math.min(wide, tall) < LEAST_SIDE || Math.max(wide, tall) > Math.max(width, height) / 3)
      continue;
    if (count < 0.2 * wide * tall) continue;
    // `start` is the first pixel of the piece in reading order: the outline begins there.
    out.push(roundTrip(dark, width, height, start));
  }
  return out;

  function visit(at: number, depth: number): number {
    if (dark[at] === 0 || seen[at] === 1) return depth;
    seen[at] = 1;
    stack[depth] = at;
    return depth + 1;
  }
}

const AROUND: readonly Point[] = [
  [1, 0],
  [1, 1],
  [0, 1],
  [-1, 1],
  [-1, 0],
  [-1, -1],
  [0, -1],
  [1, -1],
];

/** Moore's walk round a piece, clockwise. */
function roundTrip(dark: Uint8Array, width: number, height: number, start: number): Point[] {
  const inside = (x: number, y: number) =>
    x >= 0 && y >= 0 && x < width && y < height && dark[y * width + x] === 1;
  const x0 = start % width;
  const y0 = (start - x0) / width;
  const path: Point[] = [];
  let [x, y] = [x0, y0];
  let facing = 0;
  const most = 8 * (width + height);
  do {
    path.push([x, y]);
    let turned = 0;
    let direction = (facing + 6) % 8;
    while (turned < 8 && !inside(x + AROUND[direction][0], y + AROUND[direction][1])) {
      direction = (direction + 1) % 8;
      turned++;
    }
    if (turned === 8) break;
    facing = direction;
    x += AROUND[direction][0];
    y += AROUND[direction][1];
  } while ((x !== x0 || y !== y0) && path.length < most);
  return path;
}

/** Four corners where the sides of an outline meet, clockwise; undefined where it is no quadrangle. */
function cornersOf(outline: readonly Point[]): Point[] | undefined {
  const n = outline.length;
  const mx = outline.reduce((s, p) => s + p[0], 0) / n;
  const my = outline.reduce((s, p) => s + p[1], 0) / n;
  const farthest = (from: (p: Point) => number) => {
    let best = 0;
    outline.forEach((p, i) => {
      if (from(p) > from(outline[best])) best = i;
    });
    return best;
  };
  const a = farthest((p) => Math.hypot(p[0] - mx, p[1] - my));
  const c = farthest((p) => Math.hypot(p[0] - outline[a][0], p[1] - outline[a][1]));
  const off = (p: Point) =>
    (outline[c][0] - outline[a][0]) * (p[1] - outline[a][1]) -
    (outline[c][1] - outline[a][1]) * (p[0] - outline[a][0]);
  const b = farthest(off);
  const d = farthest((p) => -off(p));
  const order = [...new Set([a, b, c, d])].sort((i, j) => i - j);
  if (order.length < 4) return undefined;
  const lines: Line[] = [];
  for (let k = 0; k < 4; k++) {
    const from = order[k];
    const length = (order[(k + 1) % 4] - from + n) % n;
    if (length < LEAST_SIDE / 2) return undefined;
    // The ends of a side belong to the corners, which blur rounds.
    const points: Point[] = [];
    for (let step = Math.ceil(0.12 * length); step <= 0.88 * length; step++) {
      points.push(outline[(from + step) % n]);
    }
    const line = lineThrough(points);
    if (line.rms > Math.max(0.7, 0.012 * length)) return undefined;
    lines.push(line);
  }
  const corners = lines.map((line, k) => meeting(lines[(k + 3) % 4], line));
  if (corners.some((p) => p === undefined)) return undefined;
  // The outline runs through pixel centres: the edge of the ink lies half a pixel further out.
  return outward(corners as Point[], 0.5);
}

interface Line {
  readonly at: Point;
  readonly along: Point;
  readonly rms: number;
}

function lineThrough(points: readonly Point[]): Line {
  const n = points.length;
  const x = points.reduce((s, p) => s + p[0], 0) / n;
  const y = points.reduce((s, p) => s + p[1], 0) / n;
  let [xx, xy, yy] = [0, 0, 0];
  for (const p of points) {
    xx += (p[0] - x) ** 2;
    xy += (p[0] - x) * (p[1] - y);
    yy += (p[1] - y) ** 2;
  }
  const angle = Math.atan2(2 * xy, xx - yy) / 2;
  const across = (xx + yy) / 2 - Math.sqrt(((xx - yy) / 2) ** 2 + xy * xy);
  return {
    at: [x, y],
    along: [Math.cos(angle), Math.sin(angle)],
    rms: Math.sqrt(Math.max(0, across) / n),
  };
}

function meeting(one: Line, other: Line): Point | undefined {
  const cross = one.along[0] * other.along[1] - one.along[1] * other.along[0];
  if (Math.abs(cross) < 0.2) return undefined;
  const dx = other.at[0] - one.at[0];
  const dy = other.at[1] - one.at[1];
  const t = (dx * other.along[1] - dy * other.along[0]) / cross;
  return [one.at[0] + t * one.along[0], one.at[1] + t * one.along[1]];
}

function outward(corners: readonly Point[], by: number): Point[] {
  const x = corners.reduce((s, p) => s + p[0], 0) / 4;
  const y = corners.reduce((s, p) => s + p[1], 0) / 4;
  return corners.map((p) => {
    const away = Math.hypot(p[0] - x, p[1] - y) || 1;
    // A corner moves by the diagonal of what its sides move by.
    const share = 1 + (by * Math.SQRT2) / away;
    return [x + (p[0] - x) * share, y + (p[1] - y) * share];
  });
}

function readMarker(
  grey: Float32Array,
  width: number,
  height: number,
  corners: readonly Point[],
): FoundMarker | undefined {
  const square: Point[] = [
    [0, 0],
    [CELLS, 0],
    [CELLS, CELLS],
    [0, CELLS],
  ];
  const fit = planeThrough(square, corners, { width, height });
  if (fit === undefined || fit.missPx > 0.5) return undefined;
  const cells = cellMeans(grey, width, height, fit.view);
  if (cells === undefined) return undefined;
  const border = cells.filter((_, i) => isBorder(i)).sort((a, b) => a - b);
  const inner = cells.filter((_, i) => !isBorder(i)).sort((a, b) => a - b);
  const black = border[border.length >> 1];
  const pale = inner[inner.length - 4];
  if (pale - black < 0.08 || pale < 1.5 * black) return undefined;
  const between = (black + pale) / 2;
  if (border.filter((v) => v > between).length > MOST_WRONG_BORDER) return undefined;
  const bits = cells.filter((_, i) => !isBorder(i)).map((v) => (v > between ? 1 : 0));
  let turnedBits: readonly number[] = bits;
  for (let turn = 0; turn < 4; turn++) {
    for (const [id, code] of MARKER_CODES.entries()) {
      const wrongCells = differing(turnedBits, code);
      if (wrongCells > MOST_WRONG) continue;
      const at = (k: number) => corners[(k + turn) % 4];
      return { id, corners: [at(0), at(1), at(2), at(3)], wrongCells };
    }
    turnedBits = quarterTurned(turnedBits);
  }
  return undefined;
}

function isBorder(cell: number): boolean {
  const x = cell % CELLS;
  const y = Math.floor(cell / CELLS);
  return x === 0 || y === 0 || x === CELLS - 1 || y === CELLS - 1;
}

function cellMeans(
  grey: Float32Array,
  width: number,
  height: number,
  view: PlaneView,
): number[] | undefined {
  const out: number[] = [];
  for (let cell = 0; cell < CELLS * CELLS; cell++) {
    let sum = 0;
    for (const dy of [0.3, 0.5, 0.7]) {
      for (const dx of [0.3, 0.5, 0.7]) {
        const [x, y] = pixelOf(view, [(cell % CELLS) + dx, Math.floor(cell / CELLS) + dy]);
        const px = Math.round(x);
        const py = Math.round(y);
        if (!(px >= 0 && py >= 0 && px < width && py < height)) return undefined;
        sum += grey[py * width + px] / 9;
      }
    }
    out.push(sum);
  }
  return out;
}

function differing(bits: readonly number[], code: number): number {
  let wrong = 0;
  for (let i = 0; i < bits.length; i++) {
    // 36 bits do not fit the bit operators.
    if (Math.floor(code / 2 ** (bits.length - 1 - i)) % 2 !== bits[i]) wrong++;
  }
  return wrong;
}

/** Cells as they read when the second corner is taken for the first. */
function quarterTurned(bits: readonly number[]): number[] {
  return bits.map((_, i) => {
    const x = i % INNER;
    const y = Math.floor(i / INNER);
    return bits[x * INNER + (INNER - 1 - y)];
  });
}
