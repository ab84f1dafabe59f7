import { CELLS } from './cell-masks.ts';
import { srgbEncoded } from './encoding.ts';
import { lightAround, type Picture, type PictureColour } from './picture.ts';
import { type PlaneView, type Point, pixelOf } from './plane-view.ts';
import { CROSS_MM } from './sheet-layout.ts';

/** Light around a place over the light at that place, for each channel. */
export type LightChange = (place: Point) => readonly [number, number, number];

export const NO_CHANGE = [1, 1, 1] as const;

/** A square of a plane, cell by cell. */
export interface Cells {
  readonly light: Float32Array;
  readonly codes: Float32Array;
  readonly clipped: Float32Array;
}

export function cellsOf(
  picture: Picture,
  colour: PictureColour,
  view: PlaneView,
  centre: Point,
  side: number,
  change?: LightChange,
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

const CROSS_SEARCH_MM = [-1.5, -1, -0.5, 0, 0.5, 1, 1.5];
const CROSS_BESIDE_MM = 3.5;

/**
 * A cross is visible where its arms are darker than the quarters beside them, along their whole
 * length.
 */
export function crossShows({ codes }: Cells, side: number): boolean {
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
      // The sheet may be slightly out of place: the arm is searched nearby.
      const arm = Math.min(...CROSS_SEARCH_MM.map(at));
      const beside = Math.min(at(-CROSS_BESIDE_MM), at(CROSS_BESIDE_MM));
      looked++;
      if (arm < 0.9 * beside) darker++;
    }
  }
  return darker >= 0.8 * looked;
}
