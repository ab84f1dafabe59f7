import { deltaE2000 } from '../colour/difference.ts';
import { type Lab, triple } from '../colour/triples.ts';
import type { SeenPatch } from './camera-equations.ts';
import type { Seen } from './camera-model.ts';
import type { ReadPatch } from './chart-patches.ts';
import { meantLight } from './clipped-channels.ts';
import { blackStep, type Correction, correctedLab } from './correction.ts';
import { correctionCovariance } from './correction-covariance.ts';
import { srgbEncoded } from './encoding.ts';
import { CHART_MIDDLE, chartCorners, findChart } from './find-chart.ts';
import { type FoundSheet, findSheet, sheetFromCorners } from './find-sheet.ts';
import { learnFrom } from './learn-camera.ts';
import { type LightShown, lightOnTile, PAPER_SPREAD } from './light-on-tile.ts';
import { lightBesideSheet, lightOfBareTable } from './light-without-chart.ts';
import type { PaperLight } from './paper-light.ts';
import { tilesOf } from './photo-tiles.ts';
import { checkPicture, type Picture, type PictureColour } from './picture.ts';
import { type Corners, type PlaneView, type Point, pixelOf } from './plane-view.ts';
import { roughAnchors } from './rough-anchors.ts';
import type { SheetLayout } from './sheet-layout.ts';
import { paperOf } from './sheet-paper.ts';
import { foundNote, spotsOnTable } from './spots-on-table.ts';
import { tableShadowNote } from './table-light.ts';
import { marksOf, type Quality, qualityOf, type TileMark } from './tile-marks.ts';
import { addShared, lightStep, ownCovariance } from './tile-spread.ts';
import {
  roughCovariance,
  type UnchartedColours,
  unchartedColours,
  unchartedLab,
} from './uncharted-colours.ts';
import { unreadNote, unreadThings } from './unread-things.ts';
import { whyNoChart } from './why-no-chart.ts';

export interface PhotoQuestion {
  readonly picture: Picture;
  /**
   * What the codes may represent, the most likely first; with a chart the one that fits best is
   * used.
   */
  readonly colours: readonly PictureColour[];
  /** Sheets it may show; when empty, there is no sheet. */
  readonly layouts: readonly SheetLayout[];
  /** Outer corners of the sheet's corner markers set by hand: top left, then clockwise. */
  readonly corners?: Corners;
  /** Known colours of the chart, A1 to D6; when absent, no chart is searched. */
  readonly chart?: readonly Lab[];
  /** A pixel on the chart that is meant, where there are several. */
  readonly chartAt?: Point;
  /** Tiles marked by hand: the middle of each, in pixels. */
  readonly taps?: readonly { readonly name: string; readonly at: Point }[];
  /** Without a sheet, tiles that seem to lie on the table are read too, named 1, 2 ... in reading order. */
  readonly findTiles?: boolean;
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
  /**
   * 3 x 3 by rows, CIELAB units squared; the part it shares with the others is in `covariance` of
   * the photo.
   */
  readonly covariance: Float64Array;
  readonly marks: readonly TileMark[];
  readonly quality: Quality;
}

export interface PhotoOutcome {
  readonly sheet?: FoundSheet;
  readonly paper?: PaperLight;
  readonly chart?: {
    readonly view: PlaneView;
    /** Another chart in the photo. */
    readonly other?: PlaneView;
    readonly patches: readonly ReadPatch[];
    /** The patches that are neither clipped nor shaded, as used in the correction. */
    readonly used: readonly SeenPatch[];
    readonly correction?: Correction;
    /** Which of the possible colour encodings was used. */
    readonly colourTaken: number;
  };
  readonly rough?: UnchartedColours;
  readonly tiles: readonly PhotoTile[];
  /** Of all tiles together, 3n x 3n by rows. */
  readonly covariance: Float64Array;
  readonly emptyPlaces: readonly string[];
  /** Notes for the user, in words. */
  readonly notes: readonly string[];
}

/** Something on the table that is no part of it. */
function asThing(chart: PlaneView) {
  return { centre: pixelOf(chart, CHART_MIDDLE), outline: chartCorners(chart) };
}

/** Light at a tile that nothing shows, as a share; common practice, no source. */
const LIGHT_SPREAD = { 'by paper': PAPER_SPREAD, 'by chart': 0.03, 'by nothing': 0.05 } as const;
/**
 * Readings of the tiles in one photo.
 * Shape:   decoded picture and what is known about it -> tiles with Lab, covariance and marks
 * Method:  sheet and chart are found; light is evened by the white paper; tone curve, black level
 *          and matrix are learned from the patches that are neither clipped nor shaded; tiles are
 *          read inside their outlines
 * Refuses: a picture whose size and codes disagree -> invalid-input
 */
export function readPhoto(question: PhotoQuestion): PhotoOutcome {
  const { picture, colours, layouts } = question;
  checkPicture(picture);
  const notes: string[] = [];
  const sheet =
    question.corners !== undefined && layouts.length > 0
      ? sheetFromCorners(question.corners, layouts[0], picture)
      : layouts.length > 0
        ? findSheet(picture, layouts)
        : undefined;
  for (const doubt of sheet?.doubts ?? []) notes.push(`Check the sheet: ${doubt}.`);
  const found = question.chart === undefined ? undefined : findChart(picture, question.chartAt);
  if (question.chart !== undefined && found === undefined) {
    notes.push(
      `No chart of 24 patches was found; colours are rough, their differences less so. ${whyNoChart(picture)}`.trim(),
    );
  }
  for (const doubt of found?.doubts ?? []) notes.push(`Check the chart: ${doubt}.`);
  const charts = [found?.view, found?.other].filter((view) => view !== undefined);
  if (charts.length > 1 && question.chartAt === undefined) {
    notes.push(
      'There are two charts in the photo, and one of them was used: say which one you mean.',
    );
  }
  const tapped = question.taps ?? [];
  const taps =
    sheet === undefined && question.findTiles === true
      ? spotsOnTable(picture, charts, tapped)
      : tapped;
  const onTable =
    sheet === undefined ? tilesOf(picture, colours[0], undefined, undefined, taps) : undefined;
  const learned =
    found === undefined || question.chart === undefined
      ? undefined
      : learnFrom(
          picture,
          colours,
          found.view,
          question.chart,
          sheet,
          [...(onTable?.tiles.map(({ tile }) => tile) ?? []), ...charts.slice(1).map(asThing)],
          notes,
        );
  const colour = colours[learned?.colourTaken ?? 0];
  const paper =
    learned?.paper ?? (sheet === undefined ? undefined : paperOf(picture, colour, sheet));
  const seen =
    onTable !== undefined && colour === colours[0]
      ? onTable
      : tilesOf(picture, colour, sheet, paper, taps);
  const onTableNote = foundNote(taps, tapped, seen.missed);
  if (onTableNote !== undefined) notes.push(onTableNote);
  else if (layouts.length > 0 && sheet === undefined) {
    notes.push('No sheet was found in the photo; show all of it, or give its four corners.');
  }
  for (const { name } of tapped) {
    if (!seen.missed.includes(name)) continue;
    notes.push(`No tile was found where ${name} was tapped; tap the middle of it.`);
  }
  const reference: Point =
    learned?.reference ??
    (sheet === undefined ? [0, 0] : [sheet.layout.widthMm / 2, sheet.layout.heightMm / 2]);
  const outlines = seen.tiles.map(({ tile, view }) => ({
    centre: pixelOf(view, tile.centre),
    outline: tile.outline.map((p) => pixelOf(view, p)),
  }));
  const beside =
    sheet === undefined || paper === undefined
      ? undefined
      : lightBesideSheet(picture, colour, sheet, paper, learned?.fit, outlines);
  const shown: LightShown = {
    sheet,
    paper,
    reference,
    table:
      sheet === undefined
        ? (learned?.table ?? lightOfBareTable(picture, colour, outlines))
        : undefined,
    beside,
  };
  const shadowNote = beside && tableShadowNote(beside.table);
  if (shadowNote !== undefined && !notes.some((note) => note.startsWith('A shadow'))) {
    notes.push(shadowNote);
  }
  const looked = seen.tiles.map(({ tile, name }, i) => {
    const { centre: pixel, outline } = outlines[i];
    const { light, spread, ring } = lightOnTile(picture, colour, shown, pixel, learned?.fit);
    // The slope that is left on the chart says nothing of places farther away.
    const as = (rgb: readonly [number, number, number]): Seen => {
      const meant = meantLight(rgb);
      return { code: triple((c) => srgbEncoded(meant[c])), light, u: 0, v: 0 };
    };
    return {
      name,
      tile,
      pixel,
      outline,
      seen: as(tile.light),
      quarters: tile.quarters.map(as),
      lightSpread: spread,
      ring,
    };
  });
  const correction = learned?.correction;
  const rough =
    correction !== undefined
      ? undefined
      : unchartedColours(
          colour,
          roughAnchors(picture, colour, sheet, paper, reference, {
            controls: question.controls ?? [],
            looked,
          }),
        );
  const labOf = (one: Seen): Lab =>
    correction !== undefined ? correctedLab(correction, one) : unchartedLab(rough!, one);
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
  // The edge of a shadow over the chart affects all tiles alike, as there is no paper between its
  // patches.
  addShared(
    covariance,
    looked.map((one) => lightStep(labOf, one.seen, paper?.unevenness ?? 0)),
  );
  const tiles = looked.map((one, i): PhotoTile => {
    const { beside, edge } = one.ring ?? { beside: 0, edge: 0 };
    const spread = Math.hypot(
      one.lightSpread ?? lightSpread,
      edge,
      Math.max(0, Math.abs(beside) - lightSpread),
    );
    const own = ownCovariance(
      labOf,
      one.seen,
      one.quarters,
      spread,
      one.tile.light,
      correction === undefined ? [] : [blackStep(correction, one.seen)],
    );
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
      { beside, edge },
      correction === undefined ? undefined : plusMinus,
      one.lightSpread,
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
  if (sheet !== undefined && paper !== undefined) {
    const note = unreadNote(
      unreadThings(
        picture,
        colour,
        sheet,
        paper,
        learned?.fit,
        found?.view,
        looked.map(({ pixel, outline }) => ({ centre: pixel, outline })),
      ),
    );
    if (note !== undefined) notes.push(note);
  }
  return {
    ...(sheet === undefined ? {} : { sheet }),
    ...(paper === undefined ? {} : { paper }),
    ...(found === undefined || learned === undefined
      ? {}
      : {
          chart: {
            view: found.view,
            ...(found.other === undefined ? {} : { other: found.other }),
            patches: learned.patches,
            used: learned.used,
            colourTaken: learned.colourTaken,
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
