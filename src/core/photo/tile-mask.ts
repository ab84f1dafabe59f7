import { besides, CELLS, cellsMarked, filled, leaks, opened, square } from './cell-masks.ts';
import { commonest, median } from './commonest.ts';
import type { Point } from './plane-view.ts';
import type { Cells } from './tile-cells.ts';

/**
 * Steps of code by which clay of one colour differs from cell to cell, apart from gloss and dents.
 */
const ALIKE = 0.07;
/** Steps of code from which a cell no longer belongs to the surroundings of the square. */
export const APART = 0.05;
/** Least share of the light that remains in the shadow beside a tile. */
const DEEPEST_SHADOW = 0.5;
const RIM_CELLS = 2;
/** Half side of the middle that a tile must cover, as a share of the search area. */
const MIDDLE = 0.12;
/** Half side of the part whose most common colour is used as the tile's. */
const SEED = 0.2;
const LEAST_AREA = 0.02;

/** Share of a tile that is mostly free of gloss. */
const DARKER = 0.65;

/**
 * Cells that differ from the surroundings of the square, in light and in shadow; undefined where
 * they leave the square or miss the middle.
 */
export function apartFromSurround(
  { codes, light }: Cells,
  apart: number = APART,
): Uint8Array | undefined {
  const rim = [...new Uint8Array(CELLS * CELLS).keys()].filter((i) => {
    const x = i % CELLS;
    const y = Math.floor(i / CELLS);
    return x < RIM_CELLS || y < RIM_CELLS || x >= CELLS - RIM_CELLS || y >= CELLS - RIM_CELLS;
  });
  const round = [0, 1, 2].map((c) => median(rim.map((i) => codes[3 * i + c])));
  const roundLight = [0, 1, 2].map((c) => median(rim.map((i) => light[3 * i + c])));
  const differs = new Uint8Array(CELLS * CELLS);
  for (let i = 0; i < differs.length; i++) {
    const away = Math.max(...[0, 1, 2].map((c) => Math.abs(codes[3 * i + c] - round[c])));
    if (away < apart) continue;
    const ratios = [0, 1, 2].map((c) => light[3 * i + c] / Math.max(1e-4, roundLight[c]));
    const least = Math.min(...ratios);
    const shadow =
      least > DEEPEST_SHADOW && Math.max(...ratios) < 1 && Math.max(...ratios) / least < 1.06;
    if (!shadow) differs[i] = 1;
  }
  return tileOf(filled(opened(differs)));
}

/** Cells connected to the most common colour around the middle. */
export function likeTheMiddle({ codes }: Cells): Uint8Array | undefined {
  const about = square(SEED);
  const middle = [0, 1, 2].map((c) => {
    const values: number[] = [];
    for (let i = 0; i < about.length; i++) if (about[i] === 1) values.push(codes[3 * i + c]);
    values.sort((a, b) => a - b);
    return commonest(values.slice(0, Math.ceil(DARKER * values.length)));
  });
  const like = new Uint8Array(CELLS * CELLS);
  for (let i = 0; i < like.length; i++) {
    if ([0, 1, 2].every((c) => Math.abs(codes[3 * i + c] - middle[c]) < ALIKE)) like[i] = 1;
  }
  return tileOf(filled(opened(like)));
}

/** The piece that covers the middle, if there is one and it stays inside the square. */
function tileOf(mask: Uint8Array): Uint8Array | undefined {
  const out = new Uint8Array(CELLS * CELLS);
  const about = square(MIDDLE);
  const queue: number[] = [];
  for (let i = 0; i < about.length; i++) {
    if (about[i] === 1 && mask[i] === 1) {
      out[i] = 1;
      queue.push(i);
    }
  }
  if (queue.length < 0.6 * cellsMarked(about)) return undefined;
  while (queue.length > 0) {
    for (const next of besides(queue.pop()!)) {
      if (out[next] === 1 || mask[next] === 0) continue;
      out[next] = 1;
      queue.push(next);
    }
  }
  return leaks(out) || cellsMarked(out) < LEAST_AREA * CELLS * CELLS ? undefined : out;
}

const FARTHEST = 3;
const LEAST_NOISE = 0.003;
/** A tile is not quite even: this much more than noise still counts as its clay. */
const UNEVEN = 0.008;

/** Least share of a tile that has one brightness, where there is a common one. */
const LEAST_HEAP = 0.45;
/** Stamps and dirt cover less than this share of a tile. */
const DARKEST = 0.06;

/** Cells of the clay's own brightness and colour. */
export function settled(codes: Float32Array, body: Uint8Array): Uint8Array {
  const cells = [...body.keys()].filter((i) => body[i] === 1);
  const level = (i: number) => (codes[3 * i] + codes[3 * i + 1] + codes[3 * i + 2]) / 3;
  // Gloss only adds light, and its flat top forms a second peak, so the darker part is used.
  const levels = cells.map(level).sort((a, b) => a - b);
  const heap = commonest(levels.slice(0, Math.ceil(DARKER * levels.length)));
  // Noise is measured between neighbours, because the tile itself may have a gradient.
  const steps = cells
    .filter((i) => body[i + 1] === 1)
    .map((i) => Math.abs(level(i + 1) - level(i)));
  const noise = Math.max(
    LEAST_NOISE,
    (1.4826 * (steps.length > 0 ? median(steps) : 0)) / Math.SQRT2,
  );
  const reach = FARTHEST * noise + UNEVEN;
  const nearTo = (own: number) => cells.filter((i) => Math.abs(level(i) - own) < reach);
  let near = nearTo(heap);
  // A shine over the whole tile gives no peak: its darkest part is closest to the clay.
  if (near.length < LEAST_HEAP * cells.length) {
    near = nearTo(levels[Math.floor(DARKEST * levels.length)]);
  }
  const own = [0, 1, 2].map((c) => median(near.map((i) => codes[3 * i + c])));
  near = near.filter((i) =>
    own.every((value, c) => Math.abs(codes[3 * i + c] - value) < 1.7 * reach),
  );
  const used = new Uint8Array(body.length);
  for (const i of near) used[i] = 1;
  return used;
}

/** Outermost cell in each of 16 directions from the middle of a mask. */
export function outlineOf(mask: Uint8Array): Point[] {
  const cells = Array.from(mask.keys()).filter((i) => mask[i] === 1);
  const n = cells.length || 1;
  const cx = cells.reduce((sum, i) => sum + (i % CELLS), 0) / n;
  const cy = cells.reduce((sum, i) => sum + Math.floor(i / CELLS), 0) / n;
  const out: (readonly [Point, number] | undefined)[] = new Array(16).fill(undefined);
  for (const i of cells) {
    const x = i % CELLS;
    const y = Math.floor(i / CELLS);
    const away = Math.hypot(x - cx, y - cy);
    const sector = Math.floor(((Math.atan2(y - cy, x - cx) / (2 * Math.PI) + 1) % 1) * 16) % 16;
    if (away > (out[sector]?.[1] ?? -1)) out[sector] = [[x, y], away];
  }
  return out.flatMap((entry) => (entry === undefined ? [] : [entry[0]]));
}
