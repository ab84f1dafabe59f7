import { besides, CELLS, count, eroded, filled, leaks, opened, square } from './cell-masks.ts';
import { commonest, median } from './commonest.ts';
import { srgbEncoded } from './encoding.ts';
import { lightAround, type Picture, type PictureColour } from './picture.ts';
import { type PlaneView, type Point, pixelOf } from './plane-view.ts';
import { CROSS_MM } from './sheet-layout.ts';

/** What was seen of one tile, before any correction. */
export interface SeenTile {
  /** Mean linear light of the clay itself: the four quarters of it, those that hold enough. */
  readonly quarters: readonly (readonly [number, number, number])[];
  readonly light: readonly [number, number, number];
  /** Where it lies, in the plane's own units. */
  readonly centre: Point;
  /** Its outline, in the plane's own units; round the part that was read where none was seen. */
  readonly outline: readonly Point[];
  /** Area that was read, squares of the plane's units. */
  readonly area: number;
  readonly glossy: number;
  readonly dark: number;
  readonly clipped: number;
  /** False where the tile runs out into what surrounds it. */
  readonly outlineSeen: boolean;
}

/** Steps of code by which clay of one colour differs from cell to cell, gloss and dents aside. */
const ALIKE = 0.07;
/** Steps of code from which a cell is no longer what lies round the square. */
const APART = 0.05;
/** Part of the light that the shadow beside a tile leaves at least. */
const DEEPEST_SHADOW = 0.5;
const RIM_CELLS = 2;
/** Half side of the middle that a tile must cover, of the side looked at. */
const MIDDLE = 0.12;
/** Half side of the part whose commonest colour is taken for the tile's. */
const SEED = 0.2;
/** Taken off all round: edges are bevelled, blurred, and catch other light. */
const RIM = 0.05;
/** Where no outline is seen, this half side is read, of the side looked at. */
const FALLBACK = 0.16;
const LEAST_AREA = 0.02;

/**
 * A tile in a square of a plane: its outline, and its colour without rim, gloss, stamp and dirt.
 * Shape:   view from the plane to pixels, centre and side of the square in the plane's units, where a
 *          cross is printed its presence; how light is known to change over it, against its centre ->
 *          what was seen, as if all of it had the light of its own middle; 'empty' where the cross shows
 * Method:  what differs from its surroundings, or hangs together with the middle, is the tile. Its rim is
 *          taken off. The commonest brightness is the clay's own: gloss has none of its own, since it
 *          falls off all the way, and stamps and dirt are small; cells that depart from it by more than
 *          noise are left out
 */
export function tileArea(
  picture: Picture,
  colour: PictureColour,
  view: PlaneView,
  centre: Point,
  side: number,
  cross: boolean,
  change?: (place: Point) => readonly [number, number, number],
): SeenTile | 'empty' | 'outside' {
  const cells = cellsOf(picture, colour, view, centre, side, change);
  if (cells === undefined) return 'outside';
  if (cross && crossShows(cells, side)) return 'empty';
  const found = apartFromSurround(cells) ?? likeTheMiddle(cells);
  const outlineSeen = found !== undefined;
  const inside = found ?? square(FALLBACK);
  const body = outlineSeen ? eroded(inside, Math.round(RIM * CELLS)) : inside;
  const kept = settled(cells.codes, body);
  const cell = side / CELLS;
  const total = count(body);
  const areaCells = Array.from(body.keys()).filter((i) => body[i] === 1);
  const cx = areaCells.reduce((sum, i) => sum + (i % CELLS), 0) / total;
  const cy = areaCells.reduce((sum, i) => sum + Math.floor(i / CELLS), 0) / total;
  const quarters = [0, 1, 2, 3]
    .map((q) =>
      areaCells.filter(
        (i) =>
          kept[i] === 1 && (i % CELLS > cx ? 1 : 0) + (Math.floor(i / CELLS) > cy ? 2 : 0) === q,
      ),
    )
    .filter((quarter) => quarter.length >= 0.04 * total);
  const at = (x: number, y: number): Point => [
    centre[0] + (x + 0.5 - CELLS / 2) * cell,
    centre[1] + (y + 0.5 - CELLS / 2) * cell,
  ];
  const keptCells = areaCells.filter((i) => kept[i] === 1);
  const mean = meanLight(cells.light, keptCells);
  const level = (i: number) => cells.codes[3 * i] + cells.codes[3 * i + 1] + cells.codes[3 * i + 2];
  const keptLevel = keptCells.reduce((sum, i) => sum + level(i), 0) / keptCells.length;
  const aside = areaCells.filter((i) => kept[i] === 0);
  const middle = at(cx, cy);
  const there = change?.(middle) ?? NO_CHANGE;
  const lit = (light: readonly number[]) =>
    light.map((v, c) => v * there[c]) as [number, number, number];
  return {
    quarters: quarters.map((quarter) => lit(meanLight(cells.light, quarter))),
    light: lit(mean),
    centre: middle,
    outline: outlineOf(inside).map(([x, y]) => at(x, y)),
    area: total * cell * cell,
    glossy: aside.filter((i) => level(i) > keptLevel).length / total,
    dark: aside.filter((i) => level(i) <= keptLevel).length / total,
    clipped: keptCells.reduce((sum, i) => sum + cells.clipped[i], 0) / keptCells.length,
    outlineSeen,
  };
}

const NO_CHANGE = [1, 1, 1] as const;

interface Cells {
  readonly light: Float32Array;
  readonly codes: Float32Array;
  readonly clipped: Float32Array;
}

function cellsOf(
  picture: Picture,
  colour: PictureColour,
  view: PlaneView,
  centre: Point,
  side: number,
  change?: (place: Point) => readonly [number, number, number],
): Cells | undefined {
  const corner = pixelOf(view, centre);
  const beside = pixelOf(view, [centre[0] + side, centre[1]]);
  const below = pixelOf(view, [centre[0], centre[1] + side]);
  const pitch =
    Math.min(
      Math.hypot(beside[0] - corner[0], beside[1] - corner[1]),
      Math.hypot(below[0] - corner[0], below[1] - corner[1]),
    ) / CELLS;
  const half = Math.max(0, (pitch - 1) / 2);
  const light = new Float32Array(3 * CELLS * CELLS);
  const codes = new Float32Array(3 * CELLS * CELLS);
  const clipped = new Float32Array(CELLS * CELLS);
  const out = new Float64Array(4);
  for (let i = 0; i < CELLS * CELLS; i++) {
    const place: Point = [
      centre[0] + (((i % CELLS) + 0.5) / CELLS - 0.5) * side,
      centre[1] + ((Math.floor(i / CELLS) + 0.5) / CELLS - 0.5) * side,
    ];
    const [x, y] = pixelOf(view, place);
    if (!(x > -1 && y > -1 && x < picture.width && y < picture.height)) return undefined;
    lightAround(out, picture, colour, x, y, half);
    const changed = change?.(place) ?? NO_CHANGE;
    for (let c = 0; c < 3; c++) {
      light[3 * i + c] = out[c] / changed[c];
      codes[3 * i + c] = srgbEncoded(light[3 * i + c]);
    }
    clipped[i] = out[3];
  }
  return { light, codes, clipped };
}

const CROSS_SOUGHT_MM = [-1.5, -1, -0.5, 0, 0.5, 1, 1.5];
const CROSS_BESIDE_MM = 3.5;

/** A cross shows where its arms are darker than the quarters beside them, all the way along. */
function crossShows({ codes }: Cells, side: number): boolean {
  const mm = CELLS / side;
  const grey = (x: number, y: number) => {
    const i = Math.round(CELLS / 2 - 0.5 + y * mm) * CELLS + Math.round(CELLS / 2 - 0.5 + x * mm);
    return codes[3 * i] + codes[3 * i + 1] + codes[3 * i + 2];
  };
  let darker = 0;
  let looked = 0;
  for (const along of [-0.8, -0.6, -0.4, 0.4, 0.6, 0.8].map((v) => v * CROSS_MM.arm)) {
    for (const upright of [true, false]) {
      const at = (across: number) => (upright ? grey(across, along) : grey(along, across));
      // The sheet may lie a little off: the arm is sought nearby.
      const arm = Math.min(...CROSS_SOUGHT_MM.map(at));
      const beside = Math.min(at(-CROSS_BESIDE_MM), at(CROSS_BESIDE_MM));
      looked++;
      if (arm < 0.9 * beside) darker++;
    }
  }
  return darker >= 0.8 * looked;
}

/**
 * Cells that are not like what lies round the square, nor like it in shadow; undefined where they run
 * out of the square or miss the middle.
 */
function apartFromSurround({ codes, light }: Cells): Uint8Array | undefined {
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
    if (away < APART) continue;
    const ratios = [0, 1, 2].map((c) => light[3 * i + c] / Math.max(1e-4, roundLight[c]));
    const least = Math.min(...ratios);
    const shadow =
      least > DEEPEST_SHADOW && Math.max(...ratios) < 1 && Math.max(...ratios) / least < 1.06;
    if (!shadow) differs[i] = 1;
  }
  return tileOf(filled(opened(differs)));
}

/** Cells that hang together with the commonest colour about the middle. */
function likeTheMiddle({ codes }: Cells): Uint8Array | undefined {
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

/** The piece that covers the middle, if it does and does not run out of the square. */
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
  if (queue.length < 0.6 * count(about)) return undefined;
  while (queue.length > 0) {
    for (const next of besides(queue.pop()!)) {
      if (out[next] === 1 || mask[next] === 0) continue;
      out[next] = 1;
      queue.push(next);
    }
  }
  return leaks(out) || count(out) < LEAST_AREA * CELLS * CELLS ? undefined : out;
}

const FARTHEST = 3;
/** Part of a tile that gloss leaves alone, for the most part. */
const DARKER = 0.65;
const LEAST_NOISE = 0.003;
/** A tile is not quite even: so much more than noise still counts as its clay. */
const UNEVEN = 0.008;

/** Cells of the clay's own brightness and colour. */
function settled(codes: Float32Array, body: Uint8Array): Uint8Array {
  const cells = [...body.keys()].filter((i) => body[i] === 1);
  const level = (i: number) => (codes[3 * i] + codes[3 * i + 1] + codes[3 * i + 2]) / 3;
  // Gloss only adds light, and its flat top is a heap of its own: the darker part is asked.
  const levels = cells.map(level).sort((a, b) => a - b);
  const ownLevel = commonest(levels.slice(0, Math.ceil(DARKER * levels.length)));
  // Noise from neighbours: the tile itself may slope.
  const steps = cells
    .filter((i) => body[i + 1] === 1)
    .map((i) => Math.abs(level(i + 1) - level(i)));
  const noise = Math.max(
    LEAST_NOISE,
    (1.4826 * (steps.length > 0 ? median(steps) : 0)) / Math.SQRT2,
  );
  const reach = FARTHEST * noise + UNEVEN;
  let near = cells.filter((i) => Math.abs(level(i) - ownLevel) < reach);
  const own = [0, 1, 2].map((c) => median(near.map((i) => codes[3 * i + c])));
  near = near.filter((i) =>
    own.every((value, c) => Math.abs(codes[3 * i + c] - value) < 1.7 * reach),
  );
  const kept = new Uint8Array(body.length);
  for (const i of near) kept[i] = 1;
  return kept;
}

function meanLight(light: Float32Array, cells: readonly number[]): [number, number, number] {
  const out: [number, number, number] = [0, 0, 0];
  for (const i of cells) for (let c = 0; c < 3; c++) out[c] += light[3 * i + c] / cells.length;
  return out;
}

/** Outermost cell in each of 16 directions from the middle of a mask. */
function outlineOf(mask: Uint8Array): Point[] {
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
