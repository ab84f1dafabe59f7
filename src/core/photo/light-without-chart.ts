import type { FoundSheet } from './find-sheet.ts';
import type { CameraFit } from './fit-camera.ts';
import { luminanceOf, shownBy } from './joint-shown.ts';
import { type PaperLight, paperAt } from './paper-light.ts';
import type { Picture, PictureColour } from './picture.ts';
import { type Point, pixelOf, placeInPlane } from './plane-view.ts';
import { beyondSheet } from './sheet-layout.ts';
import { evenBlocks, type TilesOnTable, tableBlocks } from './table-blocks.ts';
import { lightAtPlaces, placedIn, type TableLight } from './table-light.ts';

/** With fewer blocks a table says nothing. */
const LEAST_BLOCKS = 60;
/** The rim of a sheet is raised, and casts a shadow. */
const RIM_MM = 5;
/** Places of paper at which its light is held, along each side, and how well it is known there. */
const PAPER_SIDE = 10;
const PAPER_SPREAD = 0.025;
/** Without a chart, planks of two tones are easily taken for shadows. */
const EDGE_COSTS = 40;
/** Places of a picture along each side; half of them are lit as usual, and few lie outside a shadow. */
const GRID = 6;
const LIT = { usual: 0.5, beyondShadow: 0.45 };
/** Width of a picture of a table, mm, where nothing shows how large it is. */
const USUAL_MM = 400;

/** The light beside a sheet, carried on from the paper closest to it. */
export interface LightBesideSheet {
  /** Logarithm of the light at a pixel over that at the closest paper, and its standard deviation. */
  readonly at: (pixel: Point) => { readonly log: number; readonly spread: number };
  /** The closest paper, mm on the sheet. */
  readonly paperFor: (pixel: Point) => Point;
  readonly table: TableLight;
}

/**
 * Light over the table around a sheet; shadows that fall only beside the sheet are in it.
 * Shape:   picture, sheet and its light, tiles -> light; undefined where none lies beside the sheet, or
 *          little table is seen
 * Method:  one field with an edge through the light on the paper and the surface of the table
 */
export function lightBesideSheet(
  picture: Picture,
  colour: PictureColour,
  { layout, view }: FoundSheet,
  paper: PaperLight,
  fit: CameraFit | undefined,
  tiles: TilesOnTable,
): LightBesideSheet | undefined {
  const { widthMm, heightMm } = layout;
  const beside = tiles.filter(({ centre }) => beyondSheet(layout, placeInPlane(view, centre)) > 0);
  if (beside.length === 0) return undefined;
  const covers = (pixel: Point) => {
    const [x, y] = placeInPlane(view, pixel);
    return x > -RIM_MM && y > -RIM_MM && x < widthMm + RIM_MM && y < heightMm + RIM_MM;
  };
  const blocks = evenBlocks(tableBlocks(picture, colour, covers, beside), fit);
  if (blocks.length < LEAST_BLOCKS) return undefined;
  const known = Array.from({ length: PAPER_SIDE ** 2 }, (_, i) => {
    const place: Point = [
      (((i % PAPER_SIDE) + 0.5) / PAPER_SIDE) * widthMm,
      ((Math.floor(i / PAPER_SIDE) + 0.5) / PAPER_SIDE) * heightMm,
    ];
    const log = Math.log(luminanceOf(paperAt(paper, layout, place)));
    return { pixel: pixelOf(view, place), log, spread: PAPER_SPREAD };
  });
  const placed = placedIn(picture, (pixel) => {
    const [x, y] = placeInPlane(view, pixel);
    return [x - widthMm / 2, y - heightMm / 2];
  });
  const paperFor = (pixel: Point): Point => {
    const [x, y] = placeInPlane(view, pixel);
    const held = (v: number, side: number) => Math.min(side - RIM_MM, Math.max(RIM_MM, v));
    return [held(x, widthMm), held(y, heightMm)];
  };
  const shown = shownBy(blocks, known, placed);
  const table = lightAtPlaces(shown, placed, pixelOf(view, [widthMm / 2, heightMm / 2]));
  return {
    at: (pixel) => table.between(pixel, pixelOf(view, paperFor(pixel))),
    paperFor,
    table,
  };
}

/**
 * Light over a table without sheet and chart, against that on the lit part of the picture.
 * Shape:   picture, tiles on the table -> light; undefined where little table is seen
 */
export function lightOfBareTable(
  picture: Picture,
  colour: PictureColour,
  tiles: TilesOnTable,
): TableLight | undefined {
  const { width, height } = picture;
  const blocks = evenBlocks(
    tableBlocks(picture, colour, () => false, tiles),
    undefined,
  );
  if (blocks.length < LEAST_BLOCKS) return undefined;
  const middle: Point = [width / 2, height / 2];
  const pxPerMm = Math.max(width, height) / USUAL_MM;
  const placed = placedIn(picture, ([x, y]) => [
    (x - middle[0]) / pxPerMm,
    (y - middle[1]) / pxPerMm,
  ]);
  const light = lightAtPlaces(shownBy(blocks, [], placed), placed, middle, {
    edgeCosts: EDGE_COSTS,
  });
  // Cameras expose for what is lit, not for what is in a shadow.
  const lit = Array.from(
    { length: GRID ** 2 },
    (_, i): Point => [
      (((i % GRID) + 0.5) / GRID) * width,
      ((Math.floor(i / GRID) + 0.5) / GRID) * height,
    ],
  ).sort((a, b) => light.at(a).log - light.at(b).log);
  const share = LIT.usual + LIT.beyondShadow * light.shadow.chance;
  const reference = lit[Math.floor(share * GRID ** 2)];
  return { ...light, at: (pixel) => light.between(pixel, reference) };
}
