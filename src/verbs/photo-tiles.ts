import { once, type WorkSteps } from '../core/find/work-steps.ts';
import { CHART_VALUES } from '../core/photo/chart-values.ts';
import { type CombinedReading, combineReadings } from '../core/photo/combine-readings.ts';
import { type ControlDrift, controlDrift } from '../core/photo/control-drift.ts';
import { type PhotoOutcome, readPhoto } from '../core/photo/read-photo.ts';
import { PAPERS, type SheetLayout, traySheetLayout } from '../core/photo/sheet-layout.ts';
import type { DecodedPhoto } from './photo-port.ts';
import type { ReadQuestion } from './read-question.ts';

/** One photo, opened. */
export interface PhotoSubject {
  readonly file: string;
  readonly photo: DecodedPhoto;
}

/** One photo with all that was read in it, as this process has it. */
export interface ReadOne {
  readonly file: string;
  readonly photo: Omit<DecodedPhoto, 'picture' | 'colours'> & {
    readonly widthPx: number;
    readonly heightPx: number;
  };
  readonly read: PhotoOutcome;
}

/** The tiles of one photo. */
export function* readingOne(
  { file, photo: { picture, colours, ...photo } }: PhotoSubject,
  question: ReadQuestion,
): WorkSteps<ReadOne> {
  const { chart, chartAt, corners, taps, controls, findTiles = taps.length === 0 } = question;
  const found = yield* once('Reading the tiles', () =>
    readPhoto({
      picture,
      colours,
      layouts: layoutsOf(question),
      taps,
      findTiles,
      controls: controls.map(({ name, earlier }) => ({
        name,
        lab: combineReadings(earlier.map(withCovariance)).lab,
      })),
      ...(chart === 'none'
        ? {}
        : { chart: typeof chart === 'string' ? CHART_VALUES[chart] : chart.labs }),
      ...(chartAt === undefined ? {} : { chartAt }),
      ...(corners === undefined ? {} : { corners }),
    }),
  );
  const size = { widthPx: picture.width, heightPx: picture.height };
  return { file, photo: { ...photo, ...size }, read: found };
}

/** Sheets the photo may show; none: there is no sheet. */
export function layoutsOf({ sheet }: Pick<ReadQuestion, 'sheet'>): readonly SheetLayout[] {
  if (typeof sheet !== 'string') return [sheet.board];
  if (sheet === 'none') return [];
  return sheet === 'any' ? PAPERS.map(traySheetLayout) : [traySheetLayout(sheet)];
}

export interface ReadOverAll {
  /** Every tile once, by name, over all photos. */
  readonly tiles: readonly { readonly name: string; readonly reading: CombinedReading }[];
  readonly drifts: readonly { readonly name: string; readonly drift: ControlDrift }[];
}

/** What several photos say of each tile, and whether control tiles drift. */
export function overAll(
  photos: readonly ReadOne[],
  { controls }: Pick<ReadQuestion, 'controls'>,
): ReadOverAll {
  const earlier = new Map(controls.map(({ name, earlier }) => [name, earlier.map(withCovariance)]));
  const names = [...new Set(photos.flatMap((p) => p.read.tiles.map(({ name }) => name)))];
  const tiles = names.map((name) => ({
    name,
    reading: combineReadings(
      photos.flatMap((p) => p.read.tiles.filter((tile) => tile.name === name)),
    ),
  }));
  const drifts = tiles.flatMap(({ name, reading }) => {
    const before = earlier.get(name);
    // A rough photo is balanced on its control tiles, so it cannot tell that they changed.
    if (before === undefined || photos.some((p) => p.read.rough !== undefined)) return [];
    return [{ name, drift: controlDrift(before, reading) }];
  });
  return { tiles, drifts };
}

function withCovariance({ lab, spread }: ReadQuestion['controls'][number]['earlier'][number]) {
  const v = spread * spread;
  return { lab, covariance: [v, 0, 0, 0, v, 0, 0, 0, v] };
}
