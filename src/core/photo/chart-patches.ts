import { CHART_COLUMNS, CHART_ROWS, PATCH_NAMES } from './chart-values.ts';
import { lightAround, type Picture, type PictureColour } from './picture.ts';
import { type PlaneView, type Point, pixelOf } from './plane-view.ts';

export type PatchMark = 'clipped' | 'uneven' | 'shaded' | 'glossy' | 'unlike the others';

export interface ReadPatch {
  readonly name: string;
  readonly centre: Point;
  readonly light: readonly [number, number, number];
  /** Relative standard deviation over the patch, of the channel that varies most. */
  readonly unevenness: number;
  readonly mark?: PatchMark;
}

/** Share of the pitch, from the middle of a patch, that is read: patches fill about 0.85 of it. */
const REACH = 0.25;
const STEPS = 7;
const CLIPPED = 0.02;
/**
 * Noise of a black patch makes differences of 0.06 between its parts; the edge of a shadow makes
 * larger ones.
 */
const UNEVEN = 0.08;

/**
 * How light changes around a pixel: that of another pixel over that of this one, for each channel.
 */
export type LightAbout = (
  middle: Point,
  reachPx: number,
) => ((pixel: Point) => readonly [number, number, number]) | undefined;

/**
 * Mean linear light of every patch of a chart, from those of its parts that agree.
 * Shape:   picture, chart, how light changes over it -> patches, as if each had the light at its
 *          middle
 */
export function chartPatches(
  picture: Picture,
  colour: PictureColour,
  view: PlaneView,
  about?: LightAbout,
): ReadPatch[] {
  const out = new Float64Array(4);
  return PATCH_NAMES.map((name, index) => {
    const column = index % CHART_COLUMNS;
    const row = Math.floor(index / CHART_COLUMNS) % CHART_ROWS;
    const centre = pixelOf(view, [column, row]);
    const beside = pixelOf(view, [column + 1, row]);
    const pitch = Math.hypot(beside[0] - centre[0], beside[1] - centre[1]);
    const half = Math.max(0, (pitch * REACH) / STEPS - 0.5);
    const parts: number[][] = [];
    const change = about?.(centre, pitch / 2);
    let clipped = 0;
    for (let i = 0; i < STEPS * STEPS; i++) {
      const dx = (((i % STEPS) + 0.5) / STEPS - 0.5) * 2 * REACH;
      const dy = ((Math.floor(i / STEPS) + 0.5) / STEPS - 0.5) * 2 * REACH;
      const [x, y] = pixelOf(view, [column + dx, row + dy]);
      lightAround(out, picture, colour, x, y, half);
      const [r, g, b] = change?.([x, y]) ?? [1, 1, 1];
      parts.push([out[0] / r, out[1] / g, out[2] / b]);
      clipped += out[3] / (STEPS * STEPS);
    }
    const level = parts.map((p) => p[0] + p[1] + p[2]);
    const order = [...parts.keys()].sort((a, b) => level[a] - level[b]);
    // The middle half by brightness, since dust, gloss and the edge of a shadow are at the ends.
    const used = order.slice(Math.floor(parts.length / 4), Math.ceil((3 * parts.length) / 4));
    const light = [0, 1, 2].map(
      (c) => used.reduce((sum, i) => sum + parts[i][c], 0) / used.length,
    ) as [number, number, number];
    const mean = level.reduce((sum, v) => sum + v, 0) / level.length;
    const spread = Math.sqrt(level.reduce((sum, v) => sum + (v - mean) ** 2, 0) / level.length);
    const unevenness = spread / (mean + 0.01);
    const mark: PatchMark | undefined =
      clipped > CLIPPED ? 'clipped' : unevenness > UNEVEN ? 'uneven' : undefined;
    return { name, centre, light, unevenness, ...(mark === undefined ? {} : { mark }) };
  });
}
