import type { FoundSheet } from './find-sheet.ts';
import type { CameraFit } from './fit-camera.ts';
import { type PaperLight, paperAt } from './paper-light.ts';
import { lightAround, type Picture, type PictureColour } from './picture.ts';
import { type PlaneView, type Point, pixelOf, placeInPlane } from './plane-view.ts';
import { evenLight } from './sheet-paper.ts';

const STEP_MM = 4;
/** Paper with less light than this share, or of another tint, is covered by something. */
const COVERED = 0.5;
const OTHER_TINT = 0.15;
/** Samples that one thing covers at least: about a square centimetre. */
const LEAST_SAMPLES = 6;
/** A tile casts a shadow and a reflection beside it: of its radius, and in mm. */
const BESIDE = { part: 1.2, mm: 3 };
/** Prints, the frame of a chart, the cross of an empty place. */
const CLEAR_MM = 4;
const FRAME_PITCHES = 0.9;
const CROSS_REACH_MM = 8;

/**
 * Things on a sheet that no tile was read for, by their middles in mm.
 * Shape:   picture, sheet and its light; chart; tiles by middle and outline in pixels
 * Limits:  pale things of the tint of paper look like paper
 */
export function unreadThings(
  picture: Picture,
  colour: PictureColour,
  sheet: FoundSheet,
  paper: PaperLight,
  fit: CameraFit | undefined,
  chart: PlaneView | undefined,
  tiles: readonly { readonly centre: Point; readonly outline: readonly Point[] }[],
): Point[] {
  const { layout, view } = sheet;
  const rounds = tiles.map(({ centre, outline }) => {
    const middle = placeInPlane(view, centre);
    const reach = Math.max(
      0,
      ...outline.map((pixel) => {
        const [x, y] = placeInPlane(view, pixel);
        return Math.hypot(x - middle[0], y - middle[1]);
      }),
    );
    return { middle, reach: BESIDE.part * reach + BESIDE.mm };
  });
  const boxes = [
    ...layout.printed,
    ...layout.markers.map(({ at, sideMm }) => ({ at, widthMm: sideMm, heightMm: sideMm })),
  ];
  const expected = (at: Point, pixel: Point): boolean => {
    if (chart !== undefined) {
      const [u, v] = placeInPlane(chart, pixel);
      const edge = 0.5 + FRAME_PITCHES;
      if (u > -edge && v > -edge && u < 5 + edge && v < 3 + edge) return true;
    }
    const within = (middle: Point, reach: number) =>
      Math.hypot(at[0] - middle[0], at[1] - middle[1]) < reach;
    return (
      rounds.some(({ middle, reach }) => within(middle, reach)) ||
      (layout.crosses && layout.places.some(({ centre }) => within(centre, CROSS_REACH_MM))) ||
      boxes.some(
        ({ at: [x, y], widthMm, heightMm }) =>
          at[0] > x - CLEAR_MM &&
          at[1] > y - CLEAR_MM &&
          at[0] < x + widthMm + CLEAR_MM &&
          at[1] < y + heightMm + CLEAR_MM,
      )
    );
  };
  const columns = Math.floor((layout.widthMm - 2 * CLEAR_MM) / STEP_MM);
  const rows = Math.floor((layout.heightMm - 2 * CLEAR_MM) / STEP_MM);
  const placeOf = (i: number): Point => [
    CLEAR_MM + ((i % columns) + 0.5) * STEP_MM,
    CLEAR_MM + (Math.floor(i / columns) + 0.5) * STEP_MM,
  ];
  const covered = new Uint8Array(columns * rows);
  const out = new Float64Array(4);
  for (let i = 0; i < covered.length; i++) {
    const at = placeOf(i);
    const [x, y] = pixelOf(view, at);
    if (!(x >= 0 && y >= 0 && x < picture.width && y < picture.height)) continue;
    if (expected(at, [x, y])) continue;
    lightAround(out, picture, colour, x, y, 1);
    const [r, g, b] = paperAt(paper, layout, at).map((v, c) =>
      Math.max(1e-4, evenLight(out[c], c, fit) / v),
    );
    const tint = Math.max(Math.abs(Math.log(r / g)), Math.abs(Math.log(b / g)));
    if (g < COVERED || tint > OTHER_TINT) covered[i] = 1;
  }
  return pieces(covered, columns)
    .filter((piece) => piece.length >= LEAST_SAMPLES)
    .map((piece) => {
      const places = piece.map(placeOf);
      const sum = (k: 0 | 1) => places.reduce((total, place) => total + place[k], 0);
      return [sum(0) / places.length, sum(1) / places.length];
    });
}

/** Marked samples that touch, also at corners. */
function pieces(marked: Uint8Array, columns: number): number[][] {
  const left = marked.slice();
  const out: number[][] = [];
  for (let start = 0; start < left.length; start++) {
    if (left[start] === 0) continue;
    left[start] = 0;
    const piece = [start];
    for (const at of piece) {
      for (const dy of [-1, 0, 1]) {
        for (const dx of [-1, 0, 1]) {
          const column = (at % columns) + dx;
          const next = at + dy * columns + dx;
          if (column < 0 || column >= columns || left[next] !== 1) continue;
          left[next] = 0;
          piece.push(next);
        }
      }
    }
    out.push(piece);
  }
  return out;
}

/** What is said of them; undefined where there are none. */
export function unreadNote(things: readonly Point[]): string | undefined {
  if (things.length === 0) return undefined;
  const places = things
    .slice(0, 3)
    .map(([x, y]) => `${Math.round(x)} mm from the left and ${Math.round(y)} mm from the top`)
    .join('; ');
  return `${things.length === 1 ? 'Something' : `${things.length} things`} on the sheet ${things.length === 1 ? 'was' : 'were'} not read: ${places}. Put each tile on a cross, or tap it.`;
}
