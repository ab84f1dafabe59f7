import { triple } from '../colour/triples.ts';
import type { CameraFit } from './fit-camera.ts';
import { lightAround, type Picture, type PictureColour } from './picture.ts';
import { type PlaneView, type Point, placeInPlane } from './plane-view.ts';
import { evenLight } from './sheet-paper.ts';

/** A square of the table's surface, without tone curve and black level. */
export interface TableBlock {
  /** Its middle, pixels. */
  readonly at: Point;
  readonly light: readonly [number, number, number];
}

/** Blocks along the longer side of the picture. */
const ACROSS = 40;
/** Looks within a block, a row: a grain or weave is evened out. */
const LOOKS = 4;
/** How far the frame of a chart reaches beyond its patches, in pitches. */
const FRAME = 0.9;
/** A tile casts a shadow and a reflection beside it: of its radius. */
const BESIDE = 1.3;
/** Darker than this, noise and black level decide. */
const DARKEST = 0.004;

/** Tiles by middle and outline in pixels: they are no part of the table. */
export type TilesOnTable = readonly {
  readonly centre: Point;
  readonly outline: readonly Point[];
}[];

/** Whether a chart with its frame covers a pixel. */
export function coveredBy(chart: PlaneView): (at: Point) => boolean {
  return (at) => {
    const [u, v] = placeInPlane(chart, at);
    return u > -0.5 - FRAME && v > -0.5 - FRAME && u < 5.5 + FRAME && v < 3.5 + FRAME;
  };
}

/**
 * What a picture shows of the surface around tiles and other things.
 * Shape:   picture, what covers a pixel, tiles -> blocks, those that are covered or clipped left out
 */
export function tableBlocks(
  picture: Picture,
  colour: PictureColour,
  covers: (at: Point) => boolean,
  tiles: TilesOnTable,
): TableBlock[] {
  const side = Math.max(picture.width, picture.height) / ACROSS;
  const rounds = tiles.map(({ centre, outline }) => ({
    centre,
    reach:
      BESIDE * Math.max(0, ...outline.map(([x, y]) => Math.hypot(x - centre[0], y - centre[1]))) +
      side * 0.7,
  }));
  const covered = (at: Point) =>
    covers(at) ||
    rounds.some(({ centre, reach }) => Math.hypot(at[0] - centre[0], at[1] - centre[1]) < reach);
  const out: TableBlock[] = [];
  const look = new Float64Array(4);
  for (let y = side / 2; y < picture.height; y += side) {
    for (let x = side / 2; x < picture.width; x += side) {
      if (covered([x, y])) continue;
      const sum: [number, number, number] = [0, 0, 0];
      let clipped = 0;
      for (let k = 0; k < LOOKS * LOOKS; k++) {
        const dx = ((k % LOOKS) + 0.5) / LOOKS - 0.5;
        const dy = (Math.floor(k / LOOKS) + 0.5) / LOOKS - 0.5;
        lightAround(look, picture, colour, x + dx * side, y + dy * side, side / (4 * LOOKS));
        for (let c = 0; c < 3; c++) sum[c] += look[c] / (LOOKS * LOOKS);
        clipped += look[3];
      }
      if (clipped === 0) out.push({ at: [x, y], light: sum });
    }
  }
  return out;
}

/** Blocks as linear light by a fit; those too dark to say anything are left out. */
export function evenBlocks(
  blocks: readonly TableBlock[],
  fit: CameraFit | undefined,
): TableBlock[] {
  return blocks
    .map(({ at, light }) => ({
      at,
      light: triple((c) => evenLight(light[c], c, fit)),
    }))
    .filter(({ light }) => light.every((v) => v > DARKEST));
}
