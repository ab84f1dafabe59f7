import { flatPieces, steepness } from './flat-regions.ts';
import { fromSmall, type Picture, type SmallPicture, smallPicture } from './picture.ts';
import { type PlaneView, type Point, placeInPlane } from './plane-view.ts';

/** A place where a tile seems to lie. */
export interface ProposedTile {
  /** Its middle, pixels. */
  readonly at: Point;
  /** Side of a square of its area, pixels. */
  readonly sidePx: number;
}

/** Longer side of the picture that is looked at. */
const SMALL = 640;
/** Steps that count as edges: tiles differ from their table by little or by much. */
const EDGES = [0.015, 0.025, 0.04, 0.06, 0.09, 0.13] as const;
/** Area of a tile as a share of the picture. */
const AREA = [0.0005, 0.05] as const;
/** Area against that of a parallelogram with the same second moments; stamps and gloss leave holes. */
const SHAPE = [0.4, 1.12] as const;
const LONGEST_SHAPE = 1.9;
/** Pixels of the small picture that the blur of an edge takes from a region, all around. */
const EDGE_WIDTH = 1.5;
/** Areas of one colour that are so many are a pattern of the table. */
const PATTERN = 8;
const SAME_COLOUR = 0.028;
/** Parts of the table are larger than this share of the picture, or reach its rim. */
const TABLE_PART = 0.06;
/** Tiles of one tray are alike in size: area against the median. The bowl of a spoon is twice as large. */
const LIKE_SIZES = [0.4, 1.9] as const;
/** How far the frame of a chart reaches beyond its patches, in pitches. */
const FRAME = 0.9;

interface Region {
  readonly x: number;
  readonly y: number;
  readonly area: number;
  readonly colour: readonly [number, number, number];
  /** 1 for a square or a circle without holes, less for what is longer or has holes. */
  readonly score: number;
}

/**
 * Where tiles seem to lie on a table, in reading order.
 * Shape:   picture, charts in it -> middles and sizes, pixels
 * Method:  the picture is cut at its edges, at several steps; pieces of the size and shape of a tile that
 *          are not the table or a pattern of it are tiles. Of pieces over each other the most compact one
 *          stays, and of all those of like sizes
 * Holds:   only proposals, for the user to accept; a tile of the colour of its table is not seen
 */
export function proposeTiles(
  picture: Picture,
  charts: readonly PlaneView[],
): readonly ProposedTile[] {
  const plain = smallPicture(picture, SMALL);
  const small = { ...plain, channels: plain.channels.map((v) => Math.sqrt(Math.max(0, v))) };
  const steep = steepness(small);
  const found: Region[] = [];
  const tables: Region[] = [];
  for (const edge of EDGES) {
    const { like, table } = regionsOf(small, steep, edge);
    found.push(...like);
    tables.push(...table);
  }
  const onChart = ({ x, y }: Region) =>
    charts.some((chart) => {
      const [u, v] = placeInPlane(chart, [fromSmall(small.factor, x), fromSmall(small.factor, y)]);
      return u > -0.5 - FRAME && v > -0.5 - FRAME && u < 5.5 + FRAME && v < 3.5 + FRAME;
    });
  const apart = found.filter(
    (region) => !onChart(region) && tables.every((table) => distance(region, table) > SAME_COLOUR),
  );
  const kept = strongest(apart);
  const own = kept.filter(
    (region) => kept.filter((other) => distance(region, other) < SAME_COLOUR).length < PATTERN,
  );
  const middle = [...own].sort((a, b) => a.area - b.area)[own.length >> 1]?.area ?? 0;
  return own
    .filter(({ area }) => area > LIKE_SIZES[0] * middle && area < LIKE_SIZES[1] * middle)
    .map(
      ({ x, y, area }): ProposedTile => ({
        at: [fromSmall(small.factor, x), fromSmall(small.factor, y)],
        sidePx: Math.sqrt(area) * small.factor,
      }),
    )
    .sort(readingOrder);
}

/** Rows from the top, each from the left; tiles of a row stand within half a tile of each other. */
function readingOrder(one: ProposedTile, other: ProposedTile): number {
  const row = (tile: ProposedTile) => Math.round(tile.at[1] / (1.2 * tile.sidePx));
  return row(one) - row(other) || one.at[0] - other.at[0];
}

function distance(one: Region, other: Region): number {
  return Math.hypot(
    one.colour[0] - other.colour[0],
    one.colour[1] - other.colour[1],
    one.colour[2] - other.colour[2],
  );
}

/** Of regions over each other, the one of the best shape. */
function strongest(regions: readonly Region[]): Region[] {
  const sorted = [...regions].sort((a, b) => b.score - a.score);
  const kept: Region[] = [];
  for (const region of sorted) {
    const covered = kept.some((other) => {
      const reach = 0.6 * Math.sqrt(Math.max(region.area, other.area));
      return Math.hypot(region.x - other.x, region.y - other.y) < reach;
    });
    if (!covered) kept.push(region);
  }
  return kept;
}

/** Pieces without an edge: those like a tile, and those of the table. */
function regionsOf(
  picture: SmallPicture,
  steep: Float32Array,
  edge: number,
): { like: Region[]; table: Region[] } {
  const size = picture.width * picture.height;
  const like: Region[] = [];
  const table: Region[] = [];
  for (const { centre, area, colour, shape, long, atRim } of flatPieces(picture, steep, edge, 1)) {
    const grown = (Math.sqrt(area) + 2 * EDGE_WIDTH) ** 2;
    const score = Math.min(1, shape) - 0.25 * (long - 1);
    const region: Region = { x: centre[0], y: centre[1], area: grown, colour, score };
    if (area > TABLE_PART * size || atRim > Math.max(6, 0.5 * Math.sqrt(area))) table.push(region);
    else if (
      grown > AREA[0] * size &&
      grown < AREA[1] * size &&
      atRim === 0 &&
      shape > SHAPE[0] &&
      shape < SHAPE[1] &&
      long < LONGEST_SHAPE
    )
      like.push(region);
  }
  return { like, table };
}
