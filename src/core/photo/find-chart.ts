import { chartLikeness } from './chart-likeness.ts';
import { CHART_COLUMNS, CHART_ROWS } from './chart-values.ts';
import { flatRegions, steepness } from './flat-regions.ts';
import { type Lattice, lattices } from './patch-lattice.ts';
import { fromSmall, type Picture, type SmallPicture, smallPicture } from './picture.ts';
import {
  type Corners,
  mapCorners,
  type PlaneView,
  type Point,
  pixelOf,
  placeInPlane,
  planeThrough,
} from './plane-view.ts';
import { indexed, type RegionIndex, within } from './region-index.ts';

export interface FoundChart {
  /** From columns 0-5 and rows 0-3 (patch centres at whole numbers, A1 at 0, 0) to pixels. */
  readonly view: PlaneView;
  /**
   * How much of the colours of a chart the picture explains, 0-1, and the same for the next best
   * place.
   */
  readonly likeness: number;
  readonly nextLikeness: number;
  /** Patches that were seen as separate areas. */
  readonly patchesSeen: number;
  /** Where another chart lies, if there is one. */
  readonly other?: PlaneView;
  /** Why it may be something else or somewhere else, in words; empty when all is well. */
  readonly doubts: readonly string[];
}

/** Longer sides of the small pictures that are searched, pixels. */
const SIDES = [1000, 1600, 500];
/** Steps between pixels that count as an edge, in the codes of the small picture. */
const EDGES = [0.05, 0.025, 0.1, 0.012];
const LEAST_CELLS = 8;
/**
 * At least this share of the colours must be explained; no other pattern on our tables comes close.
 */
const LEAST_LIKENESS = 0.74;
const GOOD_LIKENESS = 0.93;
/** Charts in hundreds of rendered and in four real photos reached more than either of these. */
const DOUBTFUL_LIKENESS = 0.86;
const FEW_PATCHES = 12;
/** Where a turned chart explains nearly as much, its orientation is unknown. */
const LEAST_LEAD = 0.08;

/**
 * The chart of 24 patches, in any orientation and at any place.
 * Shape:   picture, a pixel on the chart that is meant if there are several -> its place; undefined
 *          where it is uncertain that there is one
 * Limits:  patches of at least about 12 pixels in the reduced picture; a mirrored picture does not
 *          count
 */
export function findChart(picture: Picture, meant?: Point): FoundChart | undefined {
  let best: FoundChart | undefined;
  const sampled = new Set<number>();
  for (const side of SIDES) {
    const small = smallPicture(picture, side);
    if (sampled.has(small.factor)) continue;
    sampled.add(small.factor);
    for (const tones of [small, brightened(small)]) {
      const steep = steepness(tones);
      for (const edge of EDGES) {
        const found = searched(tones, steep, edge, picture, meant);
        if (found === undefined || found.likeness - found.nextLikeness < LEAST_LEAD) continue;
        if (best === undefined || found.likeness > best.likeness) {
          best =
            found.other === undefined && best?.other !== undefined
              ? { ...found, other: best.other }
              : found;
        }
        if (best.likeness > GOOD_LIKENESS && best.patchesSeen >= 14) return best;
      }
    }
    if (best !== undefined) return best;
  }
  return best;
}

/** Dark pictures, and those in linear light, show their edges when the dark end is stretched. */
function brightened(small: SmallPicture): SmallPicture {
  return { ...small, channels: small.channels.map((v) => Math.sqrt(v)) };
}

function searched(
  small: SmallPicture,
  steep: Float32Array,
  edge: number,
  picture: Picture,
  meant: Point | undefined,
): FoundChart | undefined {
  const regions = flatRegions(small, steep, edge);
  const tried = lattices(regions, LEAST_CELLS).flatMap((lattice) =>
    placements(lattice, small).map((placed) => ({
      ...placed,
      likeness: chartLikeness(small, placed.view),
    })),
  );
  if (tried.length === 0) return undefined;
  const asked = meant?.map((v) => (v - fromSmall(small.factor, 0)) / small.factor);
  const here =
    asked === undefined ? tried : tried.filter(({ view }) => isOnChart(view, [asked[0], asked[1]]));
  if (here.length === 0) return undefined;
  const best = likeliest(here);
  if (best.likeness < LEAST_LIKENESS) return undefined;
  const elsewhere = (other: Placed) => {
    const [x, y] = placeInPlane(best.view, pixelOf(other.view, CHART_MIDDLE));
    return Math.hypot(x - CHART_MIDDLE[0], y - CHART_MIDDLE[1]) > APART_PITCHES;
  };
  const others = tried.filter((other) => other !== best);
  // A second chart is no other way to lay this one.
  const charts = others.filter((other) => other.likeness >= DOUBTFUL_LIKENESS && elsewhere(other));
  const next = Math.max(
    0,
    ...others
      .filter((other) => charts.length === 0 || !elsewhere(other))
      .map(({ likeness }) => likeness),
  );
  const settled = resettled({ ...best, nextLikeness: next, doubts: [] }, indexed(regions), small);
  return {
    ...settled,
    view: enlarged(settled.view, small, picture),
    ...(charts.length === 0 ? {} : { other: enlarged(likeliest(charts).view, small, picture) }),
    doubts: doubtsOf(settled),
  };
}

function likeliest<T extends { readonly likeness: number }>(placed: readonly T[]): T {
  return placed.reduce((a, b) => (b.likeness > a.likeness ? b : a));
}

function isOnChart(view: PlaneView, pixel: Point): boolean {
  const [u, v] = placeInPlane(view, pixel);
  return u > -1 && v > -1 && u < CHART_COLUMNS && v < CHART_ROWS;
}

/** In columns and rows. */
export const CHART_MIDDLE: Point = [2.5, 1.5];
/** The middles of two charts are at least this far apart. */
const APART_PITCHES = 4;

/** Outer corners of the patches in pixels, A1 first. */
export function chartCorners(view: PlaneView): Corners {
  const outer: Corners = [
    [-0.5, -0.5],
    [5.5, -0.5],
    [5.5, 3.5],
    [-0.5, 3.5],
  ];
  return mapCorners(outer, (place) => pixelOf(view, place));
}

function doubtsOf({ likeness, patchesSeen }: FoundChart): string[] {
  return [
    ...(likeness < DOUBTFUL_LIKENESS
      ? ['its colours are not quite those of a chart of 24 patches']
      : []),
    ...(patchesSeen < FEW_PATCHES
      ? [`only ${patchesSeen} of its 24 patches are seen as separate areas`]
      : []),
  ];
}

interface Placed {
  readonly view: PlaneView;
  readonly patchesSeen: number;
}

/** All ways to lay 6 by 4 patches over a lattice. */
function placements(lattice: Lattice, small: SmallPicture): Placed[] {
  const out: Placed[] = [];
  const { cells } = lattice;
  const columns = cells.map((c) => c.column);
  const rows = cells.map((c) => c.row);
  // One fit serves every placement of the chart: placements differ by whole columns, rows and
  // turns.
  const fitted = planeThrough(
    cells.map(({ column, row }): Point => [column, row]),
    cells.map(({ at }) => at),
    small,
  );
  if (fitted === undefined) return out;
  for (const upright of [true, false]) {
    const wide = upright ? CHART_COLUMNS : CHART_ROWS;
    const tall = upright ? CHART_ROWS : CHART_COLUMNS;
    for (let left = Math.min(...columns) - wide + 1; left <= Math.max(...columns); left++) {
      for (let top = Math.min(...rows) - tall + 1; top <= Math.max(...rows); top++) {
        const inside = cells.filter(
          ({ column, row }) =>
            column >= left && column < left + wide && row >= top && row < top + tall,
        );
        if (inside.length < Math.max(LEAST_CELLS, 0.7 * Math.min(24, cells.length))) continue;
        for (const flip of [0, 1, 2, 3]) {
          const view = composed(fitted.view, left, top, upright, flip);
          if (!mirrored(view)) out.push({ view, patchesSeen: inside.length });
        }
      }
    }
  }
  return out;
}

/**
 * A view of the lattice as a view of the chart: A1 at 0, 0, in one of its eight turns and mirrors.
 */
function composed(
  view: PlaneView,
  left: number,
  top: number,
  upright: boolean,
  flip: number,
): PlaneView {
  // column = a c + b r + left', row likewise, for column c and row r of the chart.
  const [sc, oc] = (flip & 1) === 1 ? [-1, CHART_COLUMNS - 1] : [1, 0];
  const [sr, or] = (flip & 2) === 2 ? [-1, CHART_ROWS - 1] : [1, 0];
  const step = upright
    ? [sc, 0, left + oc, 0, sr, top + or, 0, 0, 1]
    : [0, sr, left + or, sc, 0, top + oc, 0, 0, 1];
  const m = view.perspective;
  const perspective = m.map((_, at) => {
    const [r, c] = [Math.floor(at / 3), at % 3];
    return m[3 * r] * step[c] + m[3 * r + 1] * step[3 + c] + m[3 * r + 2] * step[6 + c];
  });
  return { ...view, perspective };
}

/** Whether the chart would be seen from behind. */
function mirrored(view: PlaneView): boolean {
  const [o, a, b] = [pixelOf(view, CHART_MIDDLE), pixelOf(view, [3, 1.5]), pixelOf(view, [2.5, 2])];
  return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]) < 0;
}

/** Adds the patches that the lattice missed, and fits the view to all patches seen. */
function resettled(found: FoundChart, regions: RegionIndex, small: SmallPicture): FoundChart {
  let { view, patchesSeen } = found;
  for (let round = 0; round < 2; round++) {
    const places: Point[] = [];
    const pixels: Point[] = [];
    for (let row = 0; row < CHART_ROWS; row++) {
      for (let column = 0; column < CHART_COLUMNS; column++) {
        const at = pixelOf(view, [column, row]);
        const beside = pixelOf(view, [column + 1, row]);
        const slack = 0.18 * Math.hypot(beside[0] - at[0], beside[1] - at[1]);
        const near = within(regions, at, slack).sort((a, b) => a.away - b.away)[0];
        if (near === undefined) continue;
        places.push([column, row]);
        pixels.push(regions.regions[near.index].centre);
      }
    }
    const fit = places.length >= LEAST_CELLS ? planeThrough(places, pixels, small) : undefined;
    if (fit === undefined) break;
    view = fit.view;
    patchesSeen = places.length;
  }
  const likeness = chartLikeness(small, view);
  return likeness < found.likeness - SETTLING_COSTS
    ? found
    : { ...found, view, patchesSeen, likeness };
}

function enlarged(view: PlaneView, small: SmallPicture, picture: Picture): PlaneView {
  const { factor } = small;
  const shift = fromSmall(factor, 0);
  const m = view.perspective;
  const row = (k: number) => [0, 1, 2].map((i) => m[3 * k + i] * factor + shift * m[6 + i]);
  return {
    perspective: [...row(0), ...row(1), ...m.slice(6)],
    middle: [picture.width / 2, picture.height / 2],
    reach: Math.max(picture.width, picture.height) / 2,
    bend: 0,
  };
}

/** Patches read slightly off centre change the likeness by this much without meaning anything. */
const SETTLING_COSTS = 0.01;
