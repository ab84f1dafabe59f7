import { type FoundMarker, findMarkers } from './find-markers.ts';
import { fromSmall, type Picture, smallPicture } from './picture.ts';
import {
  type Corners,
  mapCorners,
  type PlaneFit,
  type PlaneView,
  type Point,
  pixelOf,
  planeThrough,
} from './plane-view.ts';
import type { SheetLayout, SheetMarker } from './sheet-layout.ts';

export interface FoundSheet {
  readonly layout: SheetLayout;
  /** From mm on the sheet to pixels. */
  readonly view: PlaneView;
  readonly markersSeen: number;
  /** Root mean square by which the corners of the markers miss their places, mm. */
  readonly missMm: number;
  /** Why the sheet may be somewhere else, in words; empty when all is well. */
  readonly doubts: readonly string[];
}

const SIDES = [1600, 2600];
/** A marker farther than this from its place is not on the sheet. */
const MOST_MISS_MM = 3;
const DOUBTFUL_MISS_MM = 0.8;
/** From this many markers on, the lens distortion can be fitted. */
const BENDING_FROM = 5;

/**
 * The sheet whose markers the picture shows.
 * Shape:   picture, layouts it may be -> its place; undefined where fewer than two of one layout's
 *          markers agree
 * Holds:   with two or three markers, or corners that miss, the answer says so in `doubts`
 */
export function findSheet(
  picture: Picture,
  layouts: readonly SheetLayout[],
): FoundSheet | undefined {
  let best: FoundSheet | undefined;
  for (const side of SIDES) {
    const small = smallPicture(picture, side);
    const markers = findMarkers(small).map((marker) => ({
      ...marker,
      corners: mapCorners(marker.corners, ([x, y]) => [
        fromSmall(small.factor, x),
        fromSmall(small.factor, y),
      ]),
    }));
    for (const layout of layouts) {
      const found = placed(markers, layout, picture);
      if (found !== undefined && found.markersSeen > (best?.markersSeen ?? 0)) best = found;
    }
    if (best !== undefined && best.markersSeen >= Math.min(4, best.layout.markers.length)) break;
    if (small.factor === 1) break;
  }
  return best;
}

/** The sheet by four places that the user marked: the outer corners of its corner markers. */
export function sheetFromCorners(
  corners: Corners,
  layout: SheetLayout,
  picture: Picture,
): FoundSheet | undefined {
  const fit = planeThrough(markerCornersOf(layout), corners, picture);
  if (fit === undefined) return undefined;
  return { layout, view: fit.view, markersSeen: 0, missMm: 0, doubts: [] };
}

/** Places of the outer corners of a sheet's corner markers: top left, then clockwise. */
export function markerCornersOf({ markers }: SheetLayout): Corners {
  const all = markers.flatMap(cornersOfMarker);
  const [left, right] = [Math.min(...all.map((p) => p[0])), Math.max(...all.map((p) => p[0]))];
  const [top, bottom] = [Math.min(...all.map((p) => p[1])), Math.max(...all.map((p) => p[1]))];
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

function cornersOfMarker({ at: [x, y], sideMm }: SheetMarker): readonly Point[] {
  return [
    [x, y],
    [x + sideMm, y],
    [x + sideMm, y + sideMm],
    [x, y + sideMm],
  ];
}

function placed(
  found: readonly FoundMarker[],
  layout: SheetLayout,
  picture: Picture,
): FoundSheet | undefined {
  const pairs = found.flatMap((marker) => {
    const printed = layout.markers.find(({ id }) => id === marker.id);
    return printed === undefined ? [] : [{ marker, places: cornersOfMarker(printed) }];
  });
  let best: { fit: PlaneFit; agreeing: typeof pairs } | undefined;
  // Two markers at a time: the view that most of the others agree with is the sheet.
  for (let i = 0; i < pairs.length; i++) {
    for (let j = 0; j < i; j++) {
      const fit = through([pairs[i], pairs[j]], picture, false);
      if (fit === undefined || missMm(fit, pairs[i]) > MOST_MISS_MM) continue;
      const agreeing = pairs.filter((pair) => missMm(fit, pair) < 2 * MOST_MISS_MM);
      if (agreeing.length > (best?.agreeing.length ?? 1)) best = { fit, agreeing };
    }
  }
  if (best === undefined) return undefined;
  let { agreeing } = best;
  let fit = through(agreeing, picture, agreeing.length >= BENDING_FROM) ?? best.fit;
  const good = agreeing.filter((pair) => missMm(fit, pair) < MOST_MISS_MM);
  if (good.length < 2) return undefined;
  if (good.length < agreeing.length) {
    agreeing = good;
    fit = through(agreeing, picture, agreeing.length >= BENDING_FROM) ?? fit;
  }
  const miss = Math.sqrt(
    agreeing.reduce((sum, pair) => sum + missMm(fit, pair) ** 2, 0) / agreeing.length,
  );
  const doubts: string[] = [];
  if (agreeing.length < 4) {
    doubts.push(
      `only ${agreeing.length} of ${layout.markers.length} markers of the sheet are seen`,
    );
  }
  if (miss > DOUBTFUL_MISS_MM) {
    doubts.push('the sheet is not flat, or its print is not to size');
  }
  if (pairs.length > agreeing.length) {
    doubts.push('some markers are not where this sheet has them');
  }
  return { layout, view: fit.view, markersSeen: agreeing.length, missMm: miss, doubts };
}

interface Pair {
  readonly marker: FoundMarker;
  readonly places: readonly Point[];
}

function through(pairs: readonly Pair[], picture: Picture, bending: boolean) {
  return planeThrough(
    pairs.flatMap(({ places }) => places),
    pairs.flatMap(({ marker }) => marker.corners),
    picture,
    bending,
  );
}

/** Root mean square error of four corners, in mm by the size of the marker in the picture. */
function missMm(fit: PlaneFit, { marker, places }: Pair): number {
  let sum = 0;
  places.forEach((place, k) => {
    const [x, y] = pixelOf(fit.view, place);
    sum += (x - marker.corners[k][0]) ** 2 + (y - marker.corners[k][1]) ** 2;
  });
  const diagonal = Math.hypot(
    marker.corners[2][0] - marker.corners[0][0],
    marker.corners[2][1] - marker.corners[0][1],
  );
  const mm = Math.hypot(places[2][0] - places[0][0], places[2][1] - places[0][1]);
  return (Math.sqrt(sum / 4) * mm) / diagonal;
}
