import type { FoundSheet } from './find-sheet.ts';
import type { CameraFit } from './fit-camera.ts';
import { luminanceOf, shownBy } from './joint-shown.ts';
import { type PaperLight, paperAt } from './paper-light.ts';
import type { Picture, PictureColour } from './picture.ts';
import { type Point, pixelOf, placeInPlane } from './plane-view.ts';
import { evenBlocks, type TilesOnTable, tableBlocks } from './table-blocks.ts';
import { lightFrom, placedIn, type TableLight } from './table-light.ts';

/** With fewer blocks a table says nothing. */
const LEAST_BLOCKS = 60;
/** The rim of a sheet is raised, and casts a shadow. */
const RIM_MM = 5;
/** Places of paper at which its light is held, along each side, and how well it is known there. */
const PAPER_SIDE = 6;
const PAPER_SPREAD = 0.015;
/** The paper shows most of how the light falls; the table shows what is left. */
const LEFT_BY_PAPER = 0.3;
/** Without a chart, planks of two tones are easily taken for shadows. */
const EDGE_COSTS = 40;
/** Width of a picture of a table, mm, where nothing shows how large it is. */
const USUAL_MM = 400;

/**
 * Light over the table around a sheet, against what its paper shows; shadows that fall only beside the
 * sheet are in it.
 * Shape:   picture, sheet and its light, tiles beside it -> light; undefined where little table is seen
 */
export function lightBesideSheet(
  picture: Picture,
  colour: PictureColour,
  { layout, view }: FoundSheet,
  paper: PaperLight,
  fit: CameraFit | undefined,
  tiles: TilesOnTable,
): TableLight | undefined {
  const { widthMm, heightMm } = layout;
  const covers = (pixel: Point) => {
    const [x, y] = placeInPlane(view, pixel);
    return x > -RIM_MM && y > -RIM_MM && x < widthMm + RIM_MM && y < heightMm + RIM_MM;
  };
  const blocks = evenBlocks(tableBlocks(picture, colour, covers, tiles), fit);
  if (blocks.length < LEAST_BLOCKS) return undefined;
  const known = Array.from({ length: PAPER_SIDE ** 2 }, (_, i) => ({
    pixel: pixelOf(view, [
      (((i % PAPER_SIDE) + 0.5) / PAPER_SIDE) * widthMm,
      ((Math.floor(i / PAPER_SIDE) + 0.5) / PAPER_SIDE) * heightMm,
    ]),
    log: 0,
    spread: PAPER_SPREAD,
  }));
  const placed = placedIn(picture, (pixel) => {
    const [x, y] = placeInPlane(view, pixel);
    return [x - widthMm / 2, y - heightMm / 2];
  });
  const byPaper = (pixel: Point) =>
    Math.log(luminanceOf(paperAt(paper, layout, placeInPlane(view, pixel))));
  const shown = { ...shownBy(blocks, known, placed, byPaper), calm: LEFT_BY_PAPER };
  return lightFrom(shown, placed, pixelOf(view, [widthMm / 2, heightMm / 2]), EDGE_COSTS);
}

/**
 * Light over a table without sheet and chart, against that in the middle of the picture.
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
  return lightFrom(shownBy(blocks, [], placed), placed, middle, EDGE_COSTS);
}
