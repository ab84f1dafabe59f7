import type { FoundSheet } from './find-sheet.ts';
import { type PaperLight, shadowAbout } from './paper-light.ts';
import type { Picture, PictureColour } from './picture.ts';
import type { PlaneView, Point } from './plane-view.ts';
import { type TileArea, tileArea } from './tile-area.ts';

/** A turned tile extends beyond its place. */
const AROUND_PLACE = 1.3;
/** A tapped tile is searched within this share of the shorter side of the picture. */
const TAP_PART = 1 / 8;

/** A tile of this size is searched in a square so many times as wide. */
const AROUND_PROPOSED = 1.9;

/** Close to the rim of the photo a smaller square is searched, if it still shows what is around the tile. */
const LEAST_AROUND = 1.15;
const LEAST_TAP_PART = 1 / 14;

/** Where a tile lies on no sheet, in pixels, and its side where that is known. */
export interface TileSpot {
  readonly name: string;
  readonly at: Point;
  readonly sidePx?: number;
}

export interface NamedTile {
  readonly name: string;
  readonly tile: TileArea;
  readonly view: PlaneView;
}

/**
 * Tiles on the places of a sheet and at the user's taps; names of the empty places, and of taps
 * without a tile.
 */
export function tilesOf(
  picture: Picture,
  colour: PictureColour,
  sheet: FoundSheet | undefined,
  paper: PaperLight | undefined,
  taps: readonly TileSpot[],
): { tiles: NamedTile[]; empty: string[]; missed: string[] } {
  const tiles: NamedTile[] = [];
  const missed: string[] = [];
  const empty: string[] = [];
  for (const { name, centre, sideMm } of sheet?.layout.places ?? []) {
    const tile = tileArea(
      picture,
      colour,
      sheet!.view,
      centre,
      sideMm * AROUND_PLACE,
      sheet!.layout.crosses,
      paper && shadowAbout(paper, sheet!.layout, centre, (sideMm * AROUND_PLACE) / 2),
    );
    if (tile === 'empty') empty.push(name);
    else if (tile !== 'outside') tiles.push({ name, tile, view: sheet!.view });
  }
  const plain: PlaneView = {
    perspective: [1, 0, 0, 0, 1, 0, 0, 0, 1],
    middle: [0, 0],
    reach: 1,
    bend: 0,
  };
  for (const { name, at, sidePx } of taps) {
    const shorter = Math.min(picture.width, picture.height);
    const [usual, least] =
      sidePx === undefined
        ? [TAP_PART * shorter, LEAST_TAP_PART * shorter]
        : [AROUND_PROPOSED * sidePx, LEAST_AROUND * sidePx];
    const side = Math.max(least, Math.min(usual, 2 * fromRim(picture, at)));
    const tile = tileArea(picture, colour, plain, at, side, false);
    if (tile === 'empty' || tile === 'outside') missed.push(name);
    else tiles.push({ name, tile, view: plain });
  }
  return { tiles, empty, missed };
}

function fromRim({ width, height }: Picture, [x, y]: Point): number {
  return Math.min(x, y, width - 1 - x, height - 1 - y);
}
