import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { type Seen, unbent } from './camera-model.ts';
import { chartPatches, type ReadPatch } from './chart-patches.ts';
import {
  type Correction,
  correctedLab,
  correctionCovariance,
  correctionFrom,
  plainHeldOut,
} from './correction.ts';
import { srgbDecoded, srgbEncoded } from './encoding.ts';
import { findChart } from './find-chart.ts';
import { type FoundSheet, findSheet, sheetByHand } from './find-sheet.ts';
import type { CameraFit, SeenPatch } from './fit-camera.ts';
import {
  barePaper,
  lightAgainst,
  type PaperLight,
  type PaperSample,
  paperAt,
  paperLight,
} from './paper-light.ts';
import { checkPicture, lightAround, type Picture, type PictureColour } from './picture.ts';
import { type PlaneView, type Point, pixelOf, placeOf } from './plane-view.ts';
import { type RoughLook, roughCovariance, roughLab, roughLook } from './rough-look.ts';
import type { SheetLayout } from './sheet-layout.ts';
import { disagreeing, firstFit, MOST_ASIDE, middleMisfit } from './sort-patches.ts';
import { type SeenTile, tileArea } from './tile-area.ts';
import { lostChannels, marksOf, type Quality, qualityOf, type TileMark } from './tile-marks.ts';

export interface PhotoQuestion {
  readonly picture: Picture;
  /** What the codes may stand for, the likeliest first; with a chart the one that fits best is taken. */
  readonly colours: readonly PictureColour[];
  /** Sheets it may show; none: there is no sheet. */
  readonly layouts: readonly SheetLayout[];
  /** Outer corners of the sheet's corner markers by hand: top left, then clockwise. */
  readonly corners?: readonly [Point, Point, Point, Point];
  /** Known colours of the chart, A1 to D6; absent: there is no chart to look for. */
  readonly chart?: readonly Lab[];
  /** Tiles pointed at by hand: the middle of each, in pixels. */
  readonly taps?: readonly { readonly name: string; readonly at: Point }[];
  /** Tiles whose colour is known from before, by name. */
  readonly controls?: readonly { readonly name: string; readonly lab: Lab }[];
}

export interface PhotoTile {
  readonly name: string;
  readonly centre: Point;
  readonly outline: readonly Point[];
  /** As the camera wrote it, and the light there. */
  readonly seen: Seen;
  /** D50, 2 degree. */
  readonly lab: Lab;
  /** 3 x 3 by rows, CIELAB units squared; what it shares with the others is in `covariance` of the photo. */
  readonly covariance: Float64Array;
  readonly marks: readonly TileMark[];
  readonly quality: Quality;
}

export interface PhotoRead {
  readonly sheet?: FoundSheet;
  readonly paper?: PaperLight;
  readonly chart?: {
    readonly view: PlaneView;
    readonly patches: readonly ReadPatch[];
    /** Those that are neither clipped nor shaded, as they went into the correction. */
    readonly used: readonly SeenPatch[];
    readonly correction?: Correction;
    /** Which of the colours asked about the codes stand for. */
    readonly colourTaken: number;
  };
  readonly rough?: RoughLook;
  readonly tiles: readonly PhotoTile[];
  /** Of all tiles together, 3n x 3n by rows. */
  readonly covariance: Float64Array;
  readonly emptyPlaces: readonly string[];
  /** What a person should know, in words. */
  readonly notes: readonly string[];
}

/** With the light evened by paper the slope left over is small; else the chart itself must tell it. */
const SLOPE_SPREAD = { 'by paper': 0.01, 'by chart': 0.05 } as const;
/** Light at a tile that nothing tells of, as a part; common practice, no source. */
const LIGHT_SPREAD = { 'by paper': 0.01, 'by chart': 0.03, 'by nothing': 0.05 } as const;
/** A turned tile reaches out of its place. */
const AROUND_PLACE = 1.3;
/** A tapped tile is looked for within this part of the shorter side of the picture. */
const TAP_PART = 1 / 8;
const BETTER = 0.9;
/** With fewer there is nothing to weigh. */
const LEAST_PATCHES = 12;
/** Light that jumps by so much, as a part, is the edge of a shadow. */
const SHADOWED = 0.03;
/** From here on a middle misfit says that the patches are not the chart that was named. */
const DOUBTFUL_MISFIT = 6;

/**
 * Readings of the tiles in one photo.
 * Shape:   decoded picture and what is known of it -> tiles with Lab, covariance and marks
 * Method:  sheet and chart are found; light is evened by the white paper; tone curve, black level and
 *          matrix are learnt from the patches that are neither clipped nor shaded; tiles are read inside their outlines
 * Refuses: a picture whose size and codes disagree -> invalid-input
 */
export function readPhoto(question: PhotoQuestion): PhotoRead {
  const { picture, colours, layouts } = question;
  checkPicture(picture);
  const notes: string[] = [];
  const sheet =
    question.corners !== undefined && layouts.length > 0
      ? sheetByHand(question.corners, layouts[0], picture)
      : layouts.length > 0
        ? findSheet(picture, layouts)
        : undefined;
  if (layouts.length > 0 && sheet === undefined) {
    notes.push('No sheet was found in the photo; show all of it, or give its four corners.');
  }
  for (const doubt of sheet?.doubts ?? []) notes.push(`Look twice at the sheet: ${doubt}.`);
  const found = question.chart === undefined ? undefined : findChart(picture);
  if (question.chart !== undefined && found === undefined) {
    notes.push('No chart of 24 patches was found; colours are rough, their differences less so.');
  }
  const learnt =
    found === undefined || question.chart === undefined
      ? undefined
      : learnFrom(picture, colours, found.view, question.chart, sheet, notes);
  const colour = colours[learnt?.colourTaken ?? 0];
  const paper =
    learnt?.paper ?? (sheet === undefined ? undefined : paperOf(picture, colour, sheet));
  const seen = tilesOf(question, colour, sheet);
  const reference: Point =
    learnt?.reference ??
    (sheet === undefined ? [0, 0] : [sheet.layout.widthMm / 2, sheet.layout.heightMm / 2]);
  const looked = seen.tiles.map(({ tile, view, name }) => {
    const pixel = pixelOf(view, tile.centre);
    const place = sheet === undefined ? undefined : placeOf(sheet.view, pixel);
    const light: [number, number, number] =
      sheet === undefined || paper === undefined || place === undefined
        ? [1, 1, 1]
        : lightAgainst(paper, sheet.layout, place, reference);
    const onChart = found === undefined ? undefined : placeOf(found.view, pixel);
    const [u, v] =
      onChart === undefined ? [0, 0] : [(onChart[0] - 2.5) / 3, (onChart[1] - 1.5) / 2];
    const as = (rgb: readonly number[]): Seen => ({
      code: rgb.map(srgbEncoded) as unknown as Seen['code'],
      light,
      u,
      v,
    });
    return {
      name,
      tile,
      pixel,
      outline: tile.outline.map((p) => pixelOf(view, p)),
      seen: as(tile.light),
      quarters: tile.quarters.map(as),
      shade:
        sheet === undefined || paper === undefined || place === undefined
          ? 0
          : shadeAt(picture, colour, sheet, paper, place, learnt?.fit),
    };
  });
  const correction = learnt?.correction;
  const rough =
    correction !== undefined
      ? undefined
      : roughLook(colour, anchorsOf(question, colour, sheet, paper, reference, looked));
  const labOf = (one: Seen): Lab =>
    correction !== undefined ? correctedLab(correction, one) : roughLab(rough!, one);
  const labs = looked.map((one) => labOf(one.seen));
  const covariance =
    correction !== undefined
      ? correctionCovariance(
          correction,
          looked.map((one) => one.seen),
        )
      : roughCovariance(rough!, labs);
  const lightSpread =
    paper !== undefined
      ? Math.max(LIGHT_SPREAD['by paper'], paper.spread)
      : LIGHT_SPREAD[correction === undefined ? 'by nothing' : 'by chart'];
  // A shadow's edge over the chart errs all tiles alike, as no paper lies between its patches.
  addShared(
    covariance,
    looked.map((one) => lightStep(labOf, one.seen, paper?.unevenness ?? 0)),
  );
  const tiles = looked.map((one, i): PhotoTile => {
    const own = ownCovariance(labOf, one.seen, one.quarters, lightSpread, one.tile.light);
    const size = 3 * looked.length;
    const total = new Float64Array(9);
    for (let r = 0; r < 3; r++) {
      for (let s = 0; s < 3; s++) {
        covariance[(3 * i + r) * size + 3 * i + s] += own[3 * r + s];
        total[3 * r + s] = covariance[(3 * i + r) * size + 3 * i + s];
      }
    }
    const quarters = one.quarters.map(labOf);
    const uneven = Math.max(0, ...quarters.map((lab) => deltaE2000(lab, labs[i])));
    const plusMinus = Math.sqrt(total[0] + total[4] + total[8]);
    const marks = marksOf(
      one.tile,
      uneven,
      one.shade,
      correction === undefined ? undefined : plusMinus,
    );
    return {
      name: one.name,
      centre: one.pixel,
      outline: one.outline,
      seen: one.seen,
      lab: labs[i],
      covariance: total,
      marks,
      quality: qualityOf(marks),
    };
  });
  return {
    ...(sheet === undefined ? {} : { sheet }),
    ...(paper === undefined ? {} : { paper }),
    ...(found === undefined || learnt === undefined
      ? {}
      : {
          chart: {
            view: found.view,
            patches: learnt.patches,
            used: learnt.used,
            colourTaken: learnt.colourTaken,
            ...(correction === undefined ? {} : { correction }),
          },
        }),
    ...(rough === undefined ? {} : { rough }),
    tiles,
    covariance,
    emptyPlaces: seen.empty,
    notes,
  };
}

interface Learnt {
  readonly fit: CameraFit;
  readonly patches: readonly ReadPatch[];
  readonly used: readonly SeenPatch[];
  readonly correction?: Correction;
  readonly colourTaken: number;
  readonly paper?: PaperLight;
  /** Middle of the chart on the sheet, mm: light is told against it. */
  readonly reference?: Point;
}

function learnFrom(
  picture: Picture,
  colours: readonly PictureColour[],
  view: PlaneView,
  known: readonly Lab[],
  sheet: FoundSheet | undefined,
  notes: string[],
): Learnt {
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
  // The likeliest first: another is taken only where it foretells patches better, as linear codes do.
  const best = tried.reduce((a, b) => (b.heldOut < BETTER * a.heldOut ? b : a));
  let { patches } = best;
  let fit = firstFit(best.usable, SLOPE_SPREAD['by chart']);
  let seen = patches.map((patch, i) => seenPatch(patch, i, known[i]));
  let paper: PaperLight | undefined;
  let reference: Point | undefined;
  if (sheet !== undefined) {
    reference = placeOf(sheet.view, pixelOf(view, [2.5, 1.5]));
    // Twice: the tone curve is taken off paper and patches before light is divided by light.
    for (let round = 0; round < 2; round++) {
      paper = paperOf(picture, best.colour, sheet, fit);
      if (paper === undefined) break;
      seen = patches.map((patch, i) => ({
        ...seenPatch(patch, i, known[i]),
        light: lightAgainst(paper!, sheet.layout, placeOf(sheet.view, patch.centre), reference!),
      }));
      fit = firstFit(
        seen.filter((_, i) => patches[i].mark === undefined),
        SLOPE_SPREAD['by paper'],
      );
    }
  }
  const evened = paper === undefined ? 'by chart' : 'by paper';
  // Fitted to the good ones, asked of all.
  const usable = seen.flatMap((patch, i) => (patches[i].mark === undefined ? [{ patch, i }] : []));
  const off = disagreeing(
    usable.map(({ patch }) => patch),
    fit,
  );
  patches = patches.map((patch, i) => {
    const mark = off[usable.findIndex((one) => one.i === i)];
    return mark === undefined ? patch : { ...patch, mark };
  });
  const kept = seen.filter((_, i) => patches[i].mark === undefined);
  const aside = patches.length - kept.length;
  const base = {
    fit,
    patches,
    used: kept,
    colourTaken: best.index,
    ...(paper === undefined ? {} : { paper }),
    ...(reference === undefined ? {} : { reference }),
  };
  if (aside > MOST_ASIDE) {
    notes.push(
      `Only ${kept.length} of 24 patches of the chart can be used (the others are clipped, shaded or covered); colours are rough.`,
    );
    return base;
  }
  if (middleMisfit(fit) > DOUBTFUL_MISFIT) {
    notes.push('The patches do not fit the chart that was named: is it another edition, or faded?');
  }
  const unevenness = paper === undefined ? 0 : paper.unevenness;
  if (unevenness > SHADOWED) {
    notes.push(
      'A shadow lies over the sheet. What lies at its edge is read less surely; best take the photo again without it.',
    );
  }
  return {
    ...base,
    correction: correctionFrom(kept, SLOPE_SPREAD[evened]),
  };
}

function seenPatch(patch: ReadPatch, index: number, lab: Lab): SeenPatch {
  return {
    code: patch.light.map(srgbEncoded) as unknown as Seen['code'],
    light: [1, 1, 1],
    u: ((index % 6) - 2.5) / 3,
    v: (Math.floor(index / 6) - 1.5) / 2,
    lab,
  };
}

/** Light over the sheet; with a fit, its tone curve and black level are taken off first. */
function paperOf(
  picture: Picture,
  colour: PictureColour,
  sheet: FoundSheet,
  fit?: CameraFit,
): PaperLight | undefined {
  const samples: PaperSample[] = [];
  const out = new Float64Array(4);
  for (const at of barePaper(sheet.layout)) {
    const [x, y] = pixelOf(sheet.view, at);
    if (!(x >= 0 && y >= 0 && x < picture.width && y < picture.height)) continue;
    const [besideX] = pixelOf(sheet.view, [at[0] + 1, at[1]]);
    lightAround(out, picture, colour, x, y, Math.max(1, Math.abs(besideX - x)));
    if (out[3] > 0) continue;
    const light = [0, 1, 2].map((c) => evenLight(out[c], c, fit)) as [number, number, number];
    samples.push({ at, light });
  }
  return paperLight(samples, sheet.layout);
}

function evenLight(light: number, channel: number, fit: CameraFit | undefined): number {
  if (fit === undefined) return light;
  return srgbDecoded(unbent(srgbEncoded(light), fit.numbers)) - fit.numbers[2 + channel];
}

/** How much less light than expected the paper just round a place shows, as a part; 0 where it shows more. */
function shadeAt(
  picture: Picture,
  colour: PictureColour,
  sheet: FoundSheet,
  paper: PaperLight,
  place: Point,
  fit: CameraFit | undefined,
): number {
  const out = new Float64Array(4);
  const ratios: number[] = [];
  for (let k = 0; k < 16; k++) {
    const angle = (k / 16) * 2 * Math.PI;
    const at: Point = [place[0] + 20 * Math.cos(angle), place[1] + 20 * Math.sin(angle)];
    const [x, y] = pixelOf(sheet.view, at);
    if (!(x >= 0 && y >= 0 && x < picture.width && y < picture.height)) continue;
    lightAround(out, picture, colour, x, y, 1);
    if (out[3] > 0) continue;
    const expected = lightAgainst(paper, sheet.layout, at, place)[1];
    ratios.push(evenLight(out[1], 1, fit) / expected);
  }
  if (ratios.length < 8) return 0;
  ratios.sort((a, b) => a - b);
  // The brighter quarter is paper for sure; it is told against what the whole sheet foretells here.
  const here = ratios[Math.floor(0.75 * ratios.length)];
  const foretold = paperAt(paper, sheet.layout, place)[1];
  return Math.max(0, 1 - here / foretold);
}

interface NamedTile {
  readonly name: string;
  readonly tile: SeenTile;
  readonly view: PlaneView;
}

function tilesOf(
  { picture, taps = [] }: PhotoQuestion,
  colour: PictureColour,
  sheet: FoundSheet | undefined,
): { tiles: NamedTile[]; empty: string[] } {
  const tiles: NamedTile[] = [];
  const empty: string[] = [];
  for (const { name, centre, sideMm } of sheet?.layout.places ?? []) {
    const tile = tileArea(
      picture,
      colour,
      sheet!.view,
      centre,
      sideMm * AROUND_PLACE,
      sheet!.layout.crosses,
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
  for (const { name, at } of taps) {
    const side = Math.min(picture.width, picture.height) * TAP_PART;
    const tile = tileArea(picture, colour, plain, at, side, false);
    if (tile !== 'empty' && tile !== 'outside') tiles.push({ name, tile, view: plain });
  }
  return { tiles, empty };
}

function anchorsOf(
  { picture, controls = [] }: PhotoQuestion,
  colour: PictureColour,
  sheet: FoundSheet | undefined,
  paper: PaperLight | undefined,
  reference: Point,
  looked: readonly { readonly name: string; readonly seen: Seen }[],
): Parameters<typeof roughLook>[1] {
  const known = controls.flatMap(({ name, lab }) => {
    const tile = looked.find((one) => one.name === name);
    return tile === undefined ? [] : [{ seen: tile.seen, lab }];
  });
  if (sheet === undefined || paper === undefined) return { known };
  const level = paperAt(paper, sheet.layout, reference);
  const card = sheet.layout.greyCard;
  let greyCard: [number, number, number] | undefined;
  if (card !== undefined) {
    const middle: Point = [card.at[0] + card.widthMm / 2, card.at[1] + card.heightMm / 2];
    const seen = tileArea(picture, colour, sheet.view, middle, card.widthMm * 1.3, false);
    if (typeof seen === 'object' && seen.outlineSeen && seen.light[1] < 0.7 * level[1]) {
      const light = lightAgainst(paper, sheet.layout, middle, reference);
      greyCard = [0, 1, 2].map((c) => seen.light[c] / light[c]) as [number, number, number];
    }
  }
  return {
    known,
    paper: level,
    ...(greyCard === undefined ? {} : { greyCard }),
  };
}

/** How a colour moves when its light is a little stronger than thought. */
function lightStep(labOf: (seen: Seen) => Lab, seen: Seen, part: number): Lab {
  const lab = labOf(seen);
  const brighter = labOf({
    ...seen,
    light: seen.light.map((v) => v / (1 + part)) as unknown as Seen['light'],
  });
  return [brighter[0] - lab[0], brighter[1] - lab[1], brighter[2] - lab[2]];
}

function addShared(covariance: Float64Array, steps: readonly Lab[]): void {
  const size = 3 * steps.length;
  steps.forEach((one, i) => {
    steps.forEach((other, j) => {
      for (let r = 0; r < 3; r++) {
        for (let s = 0; s < 3; s++) {
          covariance[(3 * i + r) * size + 3 * j + s] += one[r] * other[s];
        }
      }
    });
  });
}

/** What is a tile's own: quarters that differ, and light that nothing tells of. */
function ownCovariance(
  labOf: (seen: Seen) => Lab,
  seen: Seen,
  quarters: readonly Seen[],
  lightSpread: number,
  light: readonly number[],
): Float64Array {
  const out = new Float64Array(9);
  const lab = labOf(seen);
  // A channel at the bottom may lie as far below it as a strong colour would carry it.
  const below = lostChannels(light).map((lost) => {
    const code = light.map((v, c) =>
      srgbEncoded(c === lost ? v - BELOW * Math.max(...light) : v),
    ) as unknown as Seen['code'];
    const there = labOf({ ...seen, code });
    return [0, 1, 2].map((r) => there[r] - lab[r]);
  });
  const step = lightStep(labOf, seen, lightSpread);
  const labs = quarters.map(labOf);
  const mean = [0, 1, 2].map((r) => labs.reduce((sum, l) => sum + l[r], 0) / (labs.length || 1));
  for (let r = 0; r < 3; r++) {
    for (let s = 0; s < 3; s++) {
      let value = step[r] * step[s] + below.reduce((sum, d) => sum + d[r] * d[s], 0);
      if (labs.length > 1) {
        const scatter = labs.reduce((sum, l) => sum + (l[r] - mean[r]) * (l[s] - mean[s]), 0);
        value += scatter / ((labs.length - 1) * labs.length);
      }
      out[3 * r + s] = value + (r === s ? LEAST_VARIANCE : 0);
    }
  }
  return out;
}

/** Part of the brightest channel; common practice, no source. */
const BELOW = 0.03;

/** Reading noise below which two looks at one tile are not told apart, CIELAB units squared. */
const LEAST_VARIANCE = 0.01;
