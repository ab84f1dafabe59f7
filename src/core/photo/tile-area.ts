import { CELLS, cellsMarked, eroded, square } from './cell-masks.ts';
import { isHighlight } from './highlight.ts';
import type { Picture, PictureColour } from './picture.ts';
import type { PlaneView, Point } from './plane-view.ts';
import { type Cells, cellsOf, crossShows, type LightChange, NO_CHANGE } from './tile-cells.ts';
import { APART, apartFromSurround, likeTheMiddle, outlineOf, settled } from './tile-mask.ts';

/** What was seen of one tile, before any correction. */
export interface TileArea {
  /** Mean linear light of the clay itself: its four quarters, those with enough cells. */
  readonly quarters: readonly (readonly [number, number, number])[];
  readonly light: readonly [number, number, number];
  /** Its centre, in the plane's own units. */
  readonly centre: Point;
  /**
   * Its outline, in the plane's own units; around the part that was read where no outline was seen.
   */
  readonly outline: readonly Point[];
  /** Area that was read, squares of the plane's units. */
  readonly area: number;
  readonly glossy: number;
  readonly dark: number;
  readonly clipped: number;
  /** False where the tile has no visible edge against its surroundings. */
  readonly outlineSeen: boolean;
}

/** Cut off all around: edges are bevelled, blurred, and catch other light. */
const RIM = 0.05;
/** Where no outline is seen, a square of this half side is read, as a share of the search area. */
const FALLBACK = 0.16;

/**
 * A tile in a square of a plane: its outline, and its colour without rim, gloss, stamp and dirt.
 * Shape:   view from the plane to pixels, centre and side of the square in the plane's units,
 *          whether a cross is printed there; how light changes over it, relative to its centre ->
 *          what was seen, as if all of it had the light at its middle; 'empty' where the cross is
 *          visible
 * Method:  cells that differ from the surroundings, or are connected to the middle, are the tile.
 *          Its rim is removed. The most common brightness is the clay's own: gloss has no single
 *          brightness, since it fades gradually, and stamps and dirt are small; cells that differ
 *          from it by more than noise are left out
 */
export function tileArea(
  picture: Picture,
  colour: PictureColour,
  view: PlaneView,
  centre: Point,
  side: number,
  cross: boolean,
  change?: LightChange,
): TileArea | 'empty' | 'outside' {
  const cells = cellsOf(picture, colour, view, centre, side, change);
  if (cells === undefined) return 'outside';
  if (cross && crossShows(cells, side)) return 'empty';
  const found = outlined(cells);
  const outlineSeen = found !== undefined;
  const inside = found ?? square(FALLBACK);
  const body = outlineSeen ? eroded(inside, Math.round(RIM * CELLS)) : inside;
  const used = settled(cells.codes, body);
  const cell = side / CELLS;
  const total = cellsMarked(body);
  const areaCells = Array.from(body.keys()).filter((i) => body[i] === 1);
  const cx = areaCells.reduce((sum, i) => sum + (i % CELLS), 0) / total;
  const cy = areaCells.reduce((sum, i) => sum + Math.floor(i / CELLS), 0) / total;
  const quarters = [0, 1, 2, 3]
    .map((q) =>
      areaCells.filter(
        (i) =>
          used[i] === 1 && (i % CELLS > cx ? 1 : 0) + (Math.floor(i / CELLS) > cy ? 2 : 0) === q,
      ),
    )
    .filter((quarter) => quarter.length >= 0.04 * total);
  const at = (x: number, y: number): Point => [
    centre[0] + (x + 0.5 - CELLS / 2) * cell,
    centre[1] + (y + 0.5 - CELLS / 2) * cell,
  ];
  const usedCells = areaCells.filter((i) => used[i] === 1);
  const mean = meanLight(cells.light, usedCells);
  const level = (i: number) => cells.codes[3 * i] + cells.codes[3 * i + 1] + cells.codes[3 * i + 2];
  const usedLevel = usedCells.reduce((sum, i) => sum + level(i), 0) / usedCells.length;
  const aside = areaCells.filter((i) => used[i] === 0);
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
    glossy: aside.filter((i) => level(i) > usedLevel).length / total,
    dark: aside.filter((i) => level(i) <= usedLevel).length / total,
    clipped: usedCells.reduce((sum, i) => sum + cells.clipped[i], 0) / usedCells.length,
    outlineSeen,
  };
}

/** The tile itself: its highlight alone is none, and a dark tile on a dark table has a faint edge. */
function outlined(cells: Cells): Uint8Array | undefined {
  for (const apart of [APART, APART / 2]) {
    const found = apartFromSurround(cells, apart);
    if (found !== undefined && !isHighlight(cells, found)) return found;
  }
  const like = likeTheMiddle(cells);
  return like === undefined || isHighlight(cells, like) ? undefined : like;
}

function meanLight(light: Float32Array, cells: readonly number[]): [number, number, number] {
  const out: [number, number, number] = [0, 0, 0];
  for (const i of cells) for (let c = 0; c < 3; c++) out[c] += light[3 * i + c] / cells.length;
  return out;
}
