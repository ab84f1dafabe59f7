import { chartCorners } from '../core/photo/find-chart.ts';
import { markerCornersOf } from '../core/photo/find-sheet.ts';
import { ownSpread } from '../core/photo/own-spread.ts';
import { photoQuality } from '../core/photo/photo-quality.ts';
import {
  type Corners,
  mapCorners,
  type PlaneView,
  type Point,
  pixelOf,
} from '../core/photo/plane-view.ts';
import type { DriftNote, PhotoResult } from '../domain/photo-result.ts';
import type { ReadOne, ReadOverAll } from './photo-tiles.ts';

/** What was read in a photo as plain JSON, rounded to what means something. */
export function photoResultOf({ file, photo, read }: ReadOne): Omit<PhotoResult, 'readMs'> {
  const { sheet, chart, rough, tiles, covariance } = read;
  const sure = photoQuality(
    tiles.map(({ lab }) => lab),
    covariance,
    tiles.map(({ quality }) => quality !== 'poor'),
  );
  return {
    file,
    ...photo,
    sheet:
      sheet === undefined
        ? null
        : {
            name: sheet.layout.name,
            markersSeen: sheet.markersSeen,
            missMm: round(sheet.missMm, 3),
            corners: seenAt(sheet.view, [
              [0, 0],
              [sheet.layout.widthMm, 0],
              [sheet.layout.widthMm, sheet.layout.heightMm],
              [0, sheet.layout.heightMm],
            ]),
            markerCorners: seenAt(sheet.view, markerCornersOf(sheet.layout)),
            doubts: sheet.doubts,
          },
    chart:
      chart === undefined
        ? null
        : {
            patches: chart.patches.map(({ name, centre, light, mark }) => ({
              name,
              centre: rounded(centre),
              light: light.map((v) => round(v, 5)),
              mark: mark ?? null,
            })),
            corners: mapCorners(chartCorners(chart.view), rounded),
            otherCorners:
              chart.other === undefined ? null : mapCorners(chartCorners(chart.other), rounded),
            correction:
              chart.correction === undefined
                ? null
                : {
                    terms: chart.correction.terms,
                    toneCurve: chart.correction.toneCurve,
                    codes: chart.colourTaken === 0 ? 'as the file says' : 'linear',
                    patchesUsed: chart.used.length,
                    heldOutMean: round(chart.correction.heldOut.mean, 3),
                    heldOutWorst: round(chart.correction.heldOut.worst, 3),
                  },
          },
    rough: rough === undefined ? null : { balanced: rough.balanced },
    tiles: tiles.map((tile, i) => ({
      name: tile.name,
      centre: rounded(tile.centre),
      outline: tile.outline.map(rounded),
      lab: [round(tile.lab[0], 3), round(tile.lab[1], 3), round(tile.lab[2], 3)],
      cov: rowsOf(tile.covariance, 3),
      spread: round(ownSpread(covariance, tiles.length, i), 3),
      quality: tile.quality,
      marks: tile.marks.map(({ mark, reason }) => ({ mark, reason })),
    })),
    sharedCov: rowsOf(covariance, 3 * tiles.length),
    tells: {
      colours: sure.colours === undefined ? null : round(sure.colours, 2),
      differences: sure.differences === undefined ? null : round(sure.differences, 2),
    },
    emptyPlaces: read.emptyPlaces,
    notes: [...photo.notes, ...read.notes],
  };
}

export function driftNotes(drifts: ReadOverAll['drifts']): DriftNote[] {
  return drifts.map(({ name, drift }) => ({ name, ...drift }));
}

/** Every tile over all photos, rounded to what means something. */
export function combinedTiles(tiles: ReadOverAll['tiles']) {
  return tiles.map(({ name, reading }) => ({
    name,
    lab: reading.lab.map((v) => round(v, 3)),
    cov: rowsOf(reading.covariance, 3),
    photos: reading.photos,
    disagree: reading.disagree,
  }));
}

function seenAt(view: PlaneView, places: Corners): Corners {
  return mapCorners(places, (place) => rounded(pixelOf(view, place)));
}

function rounded([x, y]: Point): Point {
  return [round(x, 1), round(y, 1)];
}

function rowsOf(values: ArrayLike<number>, size: number): number[][] {
  const all = Array.from(values, (value) => round(value, 4));
  return Array.from({ length: size }, (_, row) => all.slice(row * size, (row + 1) * size));
}

function round(value: number, digits: number): number {
  return Math.round(value * 10 ** digits) / 10 ** digits;
}
