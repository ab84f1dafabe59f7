import type { FoundSheet } from './find-sheet.ts';
import type { CameraFit } from './fit-camera.ts';
import type { LightBesideSheet } from './light-without-chart.ts';
import { lightAgainst, type PaperLight } from './paper-light.ts';
import { type PaperRing, paperRing } from './paper-ring.ts';
import type { Picture, PictureColour } from './picture.ts';
import { type Point, placeInPlane } from './plane-view.ts';
import { beyondSheet } from './sheet-layout.ts';
import type { TableLight } from './table-light.ts';

/** Light beside a sheet is carried on from its paper: unsure by this share a mm. */
const BEYOND_A_MM = 0.02 / 60;
/** Paper that shows the light is unsure by this share at least. */
export const PAPER_SPREAD = 0.01;

export interface LightOnTile {
  /** Over that at the chart, for each channel. */
  readonly light: readonly [number, number, number];
  /** How unsure, as a share; undefined where nothing shows the light there. */
  readonly spread?: number | undefined;
  /** What the paper around the tile shows; on a sheet only. */
  readonly ring?: PaperRing | undefined;
}

/** What shows the light in a photo. */
export interface LightShown {
  readonly sheet?: FoundSheet | undefined;
  readonly paper?: PaperLight | undefined;
  /** The place on the sheet whose light counts as one, mm. */
  readonly reference: Point;
  /** Over a table without a sheet. */
  readonly table?: TableLight | undefined;
  /** Over the table around a sheet. */
  readonly beside?: LightBesideSheet | undefined;
}

/** Light on a tile by its middle in pixels. */
export function lightOnTile(
  picture: Picture,
  colour: PictureColour,
  { sheet, paper, reference, table, beside }: LightShown,
  pixel: Point,
  fit: CameraFit | undefined,
): LightOnTile {
  if (sheet === undefined) {
    if (table === undefined) return { light: [1, 1, 1] };
    const { log, spread } = table.at(pixel);
    const light = Math.exp(log);
    return { light: [light, light, light], spread };
  }
  if (paper === undefined) return { light: [1, 1, 1] };
  const place = placeInPlane(sheet.view, pixel);
  const ring = paperRing(picture, colour, sheet, paper, place, fit);
  const spread = Math.max(PAPER_SPREAD, paper.spread);
  const beyond = beyondSheet(sheet.layout, place);
  if (beyond === 0 || beside === undefined) {
    const light = lightAgainst(paper, sheet.layout, place, reference);
    return { light, ring, spread: Math.hypot(spread, BEYOND_A_MM * beyond) };
  }
  const light = lightAgainst(paper, sheet.layout, beside.paperFor(pixel), reference);
  const carried = beside.at(pixel);
  const factor = Math.exp(carried.log);
  return {
    light: [light[0] * factor, light[1] * factor, light[2] * factor],
    ring,
    spread: Math.hypot(spread, carried.spread),
  };
}
