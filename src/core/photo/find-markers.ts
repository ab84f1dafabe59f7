import { boxMean, darkOutlines } from './dark-outlines.ts';
import { MARKER_CODES } from './marker-codes.ts';
import type { SmallPicture } from './picture.ts';
import { type Corners, type PlaneView, type Point, pixelOf, planeThrough } from './plane-view.ts';
import { quadrangleOf } from './quadrangle.ts';

export interface FoundMarker {
  readonly id: number;
  /** Top left, top right, bottom right, bottom left of the black square as printed. */
  readonly corners: Corners;
  /** Number of cells that were read wrongly. */
  readonly wrongCells: number;
}

const INNER = 6;
const CELLS = INNER + 2;
/** The dictionary allows for five; three keep chance patterns out. */
const MOST_WRONG = 3;
const MOST_WRONG_BORDER = 3;
const LEAST_SIDE = 14;
/**
 * Sides of the square over which the light is averaged, as shares of the longer side; a marker must
 * fit in.
 */
const WINDOWS = [1 / 8, 1 / 20];
/** Darker than this share of the surroundings counts as ink. */
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
      for (const outline of darkOutlines(dark, width, height, LEAST_SIDE)) {
        const corners = quadrangleOf(outline, LEAST_SIDE);
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
    // The darkest channel separates ink from coloured things best.
    grey[i] = (channels[3 * i] + 2 * channels[3 * i + 1] + channels[3 * i + 2]) / 4;
  }
  return grey;
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

/** Cells as they read when the second corner is used as the first. */
function quarterTurned(bits: readonly number[]): number[] {
  return bits.map((_, i) => {
    const x = i % INNER;
    const y = Math.floor(i / INNER);
    return bits[x * INNER + (INNER - 1 - y)];
  });
}
