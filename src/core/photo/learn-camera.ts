import { type Lab, triple } from '../colour/triples.ts';
import type { SeenPatch } from './camera-equations.ts';
import { chartPatches, type LightAbout, type ReadPatch } from './chart-patches.ts';
import { type Correction, correctionFrom, plainHeldOut } from './correction.ts';
import { srgbEncoded } from './encoding.ts';
import { fewCodesNote } from './few-codes.ts';
import { CHART_MIDDLE } from './find-chart.ts';
import type { FoundSheet } from './find-sheet.ts';
import type { CameraFit } from './fit-camera.ts';
import { learnUnderTable } from './learn-under-table.ts';
import { lightAgainst, type PaperLight, shadowAbout } from './paper-light.ts';
import type { Picture, PictureColour } from './picture.ts';
import { type PlaneView, type Point, pixelOf, placeInPlane } from './plane-view.ts';
import { paperOf } from './sheet-paper.ts';
import { disagreeing, firstFit, MOST_ASIDE, medianResidual } from './sort-patches.ts';
import type { TilesOnTable } from './table-blocks.ts';
import { type TableLight, tableShadowNote } from './table-light.ts';

/**
 * With the light evened by paper, the remaining slope is small; otherwise the chart itself must
 * show it.
 */
const SLOPE_SPREAD = { 'by paper': 0.01, 'by table': 0.015, 'by chart': 0.05 } as const;
const BETTER = 0.9;
/** With fewer patches no fit is possible. */
const LEAST_PATCHES = 12;
/** A jump of the light by this share is the edge of a shadow. */
const SHADOWED = 0.03;
/** As many patches as a finger does not cover. */
const SHADED_PATCHES = 4;
/** From this median residual on, the patches are not those of the chart that was named. */
const DOUBTFUL_RESIDUAL = 6;

/** What the patches of a chart show about a photo. */
export interface Learned {
  readonly fit: CameraFit;
  readonly patches: readonly ReadPatch[];
  readonly used: readonly SeenPatch[];
  readonly correction?: Correction;
  readonly colourTaken: number;
  readonly paper?: PaperLight;
  /** Middle of the chart on the sheet, mm: the reference for light. */
  readonly reference?: Point;
  /** Light over the table where there is no sheet. */
  readonly table?: TableLight;
}

/**
 * Learns camera and light from the chart in a photo, and says of every patch whether it was usable.
 * Shape:   picture, what its codes may represent, the place of the chart and perhaps of a sheet,
 *          the chart's known colours; notes for the user are added to `notes` -> patches,
 *          correction
 */
export function learnFrom(
  picture: Picture,
  colours: readonly PictureColour[],
  view: PlaneView,
  known: readonly Lab[],
  sheet: FoundSheet | undefined,
  tiles: TilesOnTable,
  notes: string[],
): Learned {
  const tried = colours.map((colour, index) => {
    const patches = chartPatches(picture, colour, view);
    const seen = patches.map((patch, i) => seenPatch(patch, i, known[i]));
    const usable = seen.filter((_, i) => patches[i].mark === undefined);
    const heldOut =
      usable.length < LEAST_PATCHES || colours.length === 1
        ? Number.POSITIVE_INFINITY
        : plainHeldOut(usable, SLOPE_SPREAD['by chart']);
    return { index, colour, patches, usable, heldOut };
  });
  // The most likely first: another is chosen only where it predicts patches better, as for linear
  // codes.
  const best = tried.reduce((a, b) => (b.heldOut < BETTER * a.heldOut ? b : a));
  let { patches } = best;
  let fit = firstFit(best.usable, SLOPE_SPREAD['by chart']);
  let seen = patches.map((patch, i) => seenPatch(patch, i, known[i]));
  let paper: PaperLight | undefined;
  let reference: Point | undefined;
  if (sheet !== undefined) {
    reference = placeInPlane(sheet.view, pixelOf(view, CHART_MIDDLE));
    // Twice:   the tone curve is removed from paper and patches before one light is divided by
    //          another.
    for (let round = 0; round < 2; round++) {
      paper = paperOf(picture, best.colour, sheet, fit);
      if (paper === undefined) break;
      if (paper.smooth.shadows.length > 0) {
        patches = chartPatches(picture, best.colour, view, aboutOn(sheet, paper));
      }
      seen = patches.map((patch, i) => ({
        ...seenPatch(patch, i, known[i]),
        light: lightAgainst(
          paper!,
          sheet.layout,
          placeInPlane(sheet.view, patch.centre),
          reference!,
        ),
      }));
      fit = firstFit(
        seen.filter((_, i) => patches[i].mark === undefined),
        SLOPE_SPREAD['by paper'],
      );
    }
  }
  let table: TableLight | undefined;
  if (sheet === undefined && best.usable.length >= LEAST_PATCHES) {
    const under = learnUnderTable(
      picture,
      best.colour,
      view,
      tiles,
      patches,
      seen,
      fit,
      SLOPE_SPREAD['by table'],
    );
    ({ table, seen, fit } = under);
  }
  const evened = paper !== undefined ? 'by paper' : table !== undefined ? 'by table' : 'by chart';
  // Fitted to the good patches, evaluated for all.
  const usable = seen.flatMap((patch, i) => (patches[i].mark === undefined ? [{ patch, i }] : []));
  const off = disagreeing(
    usable.map(({ patch }) => patch),
    fit,
  );
  patches = patches.map((patch, i) => {
    const mark = off[usable.findIndex((one) => one.i === i)];
    return mark === undefined ? patch : { ...patch, mark };
  });
  const judged = seen.filter((_, i) => patches[i].mark === undefined);
  const aside = patches.length - judged.length;
  const base = {
    fit,
    patches,
    used: judged,
    colourTaken: best.index,
    ...(paper === undefined ? {} : { paper }),
    ...(reference === undefined ? {} : { reference }),
    ...(table === undefined ? {} : { table }),
  };
  if (aside > MOST_ASIDE) {
    notes.push(
      `Only ${judged.length} of 24 patches of the chart can be used (the others are clipped, shaded or covered); colours are rough.`,
    );
    return base;
  }
  if (medianResidual(fit) > DOUBTFUL_RESIDUAL) {
    notes.push('The patches do not fit the chart that was named: is it another edition, or faded?');
  }
  const depths = (paper?.smooth.shadows ?? []).map(({ depth }) => Math.abs(Math.expm1(depth)));
  if (Math.max(...depths, paper?.unevenness ?? 0) > SHADOWED) {
    notes.push(
      'A shadow falls on the sheet. Tiles at its edge are read less precisely; better take the photo again without it.',
    );
  }
  const few = fewCodesNote(picture, judged, best.index > 0);
  if (few !== undefined) notes.push(few);
  const shaded = patches.filter(({ mark }) => mark === 'shaded').length;
  if (shaded >= SHADED_PATCHES) {
    notes.push(
      `A shadow falls on ${shaded} of the 24 patches of the chart; better take the photo again without it.`,
    );
  } else {
    const note = table && tableShadowNote(table);
    if (note !== undefined) notes.push(note);
  }
  return {
    ...base,
    correction: correctionFrom(judged, SLOPE_SPREAD[evened]),
  };
}

/** How light changes over a sheet, by pixels. */
function aboutOn(sheet: FoundSheet, paper: PaperLight): LightAbout {
  return (middle, reachPx) => {
    const place = placeInPlane(sheet.view, middle);
    const beside = placeInPlane(sheet.view, [middle[0] + reachPx, middle[1]]);
    const reachMm = Math.hypot(beside[0] - place[0], beside[1] - place[1]);
    const change = shadowAbout(paper, sheet.layout, place, reachMm);
    return change && ((pixel) => change(placeInPlane(sheet.view, pixel)));
  };
}

function seenPatch(patch: ReadPatch, index: number, lab: Lab): SeenPatch {
  return {
    code: triple((c) => srgbEncoded(patch.light[c])),
    light: [1, 1, 1],
    u: ((index % 6) - 2.5) / 3,
    v: (Math.floor(index / 6) - 1.5) / 2,
    lab,
  };
}
