import type { FoundSheet } from './find-sheet.ts';
import type { CameraFit } from './fit-camera.ts';
import { type PaperLight, paperAt } from './paper-light.ts';
import { lightAround, type Picture, type PictureColour } from './picture.ts';
import { type Point, pixelOf } from './plane-view.ts';
import { evenLight } from './sheet-paper.ts';

/** The paper just around a tile, compared with the prediction of the whole sheet there. */
export interface PaperRing {
  /**
   * Logarithm of its light over the prediction; below 0 in a shadow that the sheet did not show.
   */
  readonly beside: number;
  /**
   * Half the step of a shadow whose edge is next to the tile, as a logarithm; 0 where there is
   * none.
   */
  readonly edge: number;
}

const RADIUS_MM = 20;
const PLACES = 16;
const LEAST_PLACES = 10;
/** Logarithm by which a shadow may tint paper, and the range by which it darkens it. */
const TINT = 0.1;
const SHADE = [-1.2, -0.06] as const;
/**
 * Corners of tiles and their neighbours darken one or two adjacent places; a shadow darkens more.
 */
const LEAST_RUN = 3;
const LEAST_SHADED = 5;

/**
 * Looks around a place of a sheet; undefined where too little of the ring is in the picture, or on
 * the sheet: a table is not paper.
 */
export function paperRing(
  picture: Picture,
  colour: PictureColour,
  sheet: FoundSheet,
  paper: PaperLight,
  place: Point,
  fit: CameraFit | undefined,
): PaperRing | undefined {
  const out = new Float64Array(4);
  const logs = Array.from({ length: PLACES }, (_, k): readonly number[] | undefined => {
    const angle = (k / PLACES) * 2 * Math.PI;
    const at: Point = [
      place[0] + RADIUS_MM * Math.cos(angle),
      place[1] + RADIUS_MM * Math.sin(angle),
    ];
    const { widthMm, heightMm } = sheet.layout;
    if (!(at[0] > 0 && at[1] > 0 && at[0] < widthMm && at[1] < heightMm)) return undefined;
    const [x, y] = pixelOf(sheet.view, at);
    if (!(x >= 0 && y >= 0 && x < picture.width && y < picture.height)) return undefined;
    lightAround(out, picture, colour, x, y, 1);
    if (out[3] > 0) return undefined;
    const predicted = paperAt(paper, sheet.layout, at);
    return predicted.map((v, c) => Math.log(Math.max(1e-4, evenLight(out[c], c, fit)) / v));
  });
  const green = logs.flatMap((log) => (log === undefined ? [] : [log[1]])).sort((a, b) => a - b);
  if (green.length < LEAST_PLACES) return undefined;
  // The brighter quarter is certainly paper.
  const beside = green[Math.floor(0.75 * green.length)];
  const shaded = logs.map((log) => {
    if (log === undefined) return false;
    const [r, g, b] = log;
    const deep = g - beside;
    return deep > SHADE[0] && deep < SHADE[1] && Math.abs(r - g) < TINT && Math.abs(b - g) < TINT;
  });
  const inShade = runs(shaded)
    .filter((run) => run.length >= LEAST_RUN)
    .flat();
  if (inShade.length < LEAST_SHADED) return { beside, edge: 0 };
  const depths = inShade.map((k) => beside - logs[k]![1]).sort((a, b) => a - b);
  return { beside, edge: depths[depths.length >> 1] / 2 };
}

/** Runs of adjacent marked places on a ring. */
function runs(ring: readonly boolean[]): number[][] {
  const n = ring.length;
  const start = ring.indexOf(false);
  if (start < 0) return [[...ring.keys()]];
  const out: number[][] = [];
  for (let i = 1; i <= n; i++) {
    const k = (start + i) % n;
    if (!ring[k]) continue;
    if (ring[(k + n - 1) % n]) out.at(-1)!.push(k);
    else out.push([k]);
  }
  return out;
}
