import type { Lab } from '../core/colour/triples.ts';
import { AppError } from '../core/errors.ts';
import { formatRecipe, type Recipe } from '../core/notation/notation.ts';
import { CHART_VALUES, type ChartEdition, PATCH_NAMES } from '../core/photo/chart-values.ts';
import {
  type CombinedReading,
  combineReadings,
  type PhotoReading,
} from '../core/photo/combine-readings.ts';
import { type ControlDrift, controlDrift } from '../core/photo/control-drift.ts';
import { ownSpread } from '../core/photo/own-spread.ts';
import type { Point } from '../core/photo/plane-view.ts';
import { type PhotoRead, readPhoto } from '../core/photo/read-photo.ts';
import { PAPERS, type SheetLayout, traySheet } from '../core/photo/sheet-layout.ts';
import { sheetLayoutSchema } from '../domain/sheet-layout.ts';
import type { DecodedPhoto } from './photo-port.ts';
import type { Ports } from './ports.ts';

export interface ReadCall {
  readonly photos: readonly string[];
  /** 'any' of the printed sheets, one of them, 'none', or the file of a board of one's own. */
  readonly sheet: string;
  /** An edition, 'none', or a file of readings of the patches A1 to D6. */
  readonly chart: ChartEdition | 'none' | { readonly file: string };
  readonly corners?: readonly [Point, Point, Point, Point];
  readonly taps: readonly { readonly name: string; readonly at: Point }[];
  /** A file of earlier readings of control tiles, by tile name. */
  readonly controls?: string;
  /** A file of recipes: what lies in the first, second … place. */
  readonly tiles?: string;
  /** Where to write the readings, as a CSV that `learn` takes. */
  readonly out?: string;
}

export interface ReadOne {
  readonly file: string;
  readonly photo: Omit<DecodedPhoto, 'picture' | 'colours'> & {
    readonly widthPx: number;
    readonly heightPx: number;
  };
  readonly read: PhotoRead;
  readonly readMs: number;
}

export interface ReadAll {
  readonly photos: readonly ReadOne[];
  /** Every tile once, by name, over all photos. */
  readonly tiles: readonly { readonly name: string; readonly reading: CombinedReading }[];
  readonly drifts: readonly { readonly name: string; readonly drift: ControlDrift }[];
  readonly written?: { readonly path: string; readonly readings: number };
}

/** What colour is this tile really? Readings of the tiles in photos; nothing is kept unless asked. */
export async function read(ports: Ports, call: ReadCall): Promise<ReadAll> {
  const layouts = await layoutsOf(ports, call.sheet);
  const chart = await chartOf(ports, call.chart);
  const earlier =
    call.controls === undefined ? new Map() : await earlierReadings(ports, call.controls);
  const recipes = call.tiles === undefined ? [] : await recipesOf(ports, call.tiles);
  const photos: ReadOne[] = [];
  for (const [done, file] of call.photos.entries()) {
    ports.progress({ what: 'Reading photos', done, total: call.photos.length });
    await ports.breathe();
    const bytes = await ports.files.read(file);
    const { picture, colours, ...photo } = await ports.photos.decode(bytes, file);
    await ports.breathe();
    const startedMs = ports.nowMs();
    const controls = [...earlier].map(([name, readings]) => ({
      name,
      lab: combineReadings(readings).lab,
    }));
    const found = readPhoto({
      picture,
      colours,
      layouts,
      taps: call.taps,
      controls,
      ...(chart === undefined ? {} : { chart }),
      ...(call.corners === undefined ? {} : { corners: call.corners }),
    });
    photos.push({
      file,
      photo: { ...photo, widthPx: picture.width, heightPx: picture.height },
      read: found,
      readMs: ports.nowMs() - startedMs,
    });
  }
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
  const out = call.out;
  if (out === undefined) return { photos, tiles, drifts };
  const rows = rowsOf(photos, layouts, recipes);
  await ports.files.write(out, new TextEncoder().encode(csvOf(rows)));
  return { photos, tiles, drifts, written: { path: out, readings: rows.length } };
}

async function layoutsOf(ports: Ports, sheet: string): Promise<readonly SheetLayout[]> {
  if (sheet === 'none') return [];
  if (sheet === 'any') return PAPERS.map(traySheet);
  const paper = PAPERS.find((name) => name.toLowerCase() === sheet.toLowerCase());
  if (paper !== undefined) return [traySheet(paper)];
  const bytes = await ports.files.read(sheet);
  let told: unknown;
  try {
    told = JSON.parse(new TextDecoder().decode(bytes));
  } catch (cause) {
    throw notABoard(sheet, 'it is no JSON', cause);
  }
  const parsed = sheetLayoutSchema.safeParse(told);
  if (parsed.success) return [parsed.data];
  const [{ path, message }] = parsed.error.issues;
  throw notABoard(sheet, `${path.join('.') || 'the whole'}: ${message}`);
}

function notABoard(path: string, why: string, cause?: unknown): AppError {
  return new AppError({
    code: 'sheet-unreadable',
    kind: 'bad-input',
    detail: `${path} does not tell a board with markers: ${why}.`,
    hint: 'Name A4, Letter, none, or a file as docs/photo.md has it.',
    cause,
  });
}

async function chartOf(
  ports: Ports,
  chart: ReadCall['chart'],
): Promise<readonly Lab[] | undefined> {
  if (chart === 'none') return undefined;
  if (typeof chart === 'string') return CHART_VALUES[chart];
  const { readings } = ports.readers.readings(
    await ports.files.read(chart.file),
    chart.file,
    'volume',
  );
  const labs = PATCH_NAMES.map((name) => {
    const reading = readings.find(({ tile }) => tile.trim().toUpperCase() === name);
    const lab = reading?.lab;
    return lab !== undefined && lab.light === 'D50' && lab.observer === 2 ? lab.values : undefined;
  });
  const missing = PATCH_NAMES.filter((_, i) => labs[i] === undefined);
  if (missing.length === 0) return labs as readonly Lab[];
  throw new AppError({
    code: 'chart-incomplete',
    kind: 'bad-input',
    detail: `${chart.file} lacks a Lab under D50 and 2 degrees for ${missing.slice(0, 6).join(', ')}${missing.length > 6 ? ' …' : ''}.`,
    hint: 'A chart file has 24 readings whose tiles are named A1 to D6, the greys in row D.',
  });
}

async function earlierReadings(ports: Ports, file: string): Promise<Map<string, PhotoReading[]>> {
  const { readings } = ports.readers.readings(await ports.files.read(file), file, 'volume');
  const out = new Map<string, PhotoReading[]>();
  for (const { tile, lab, spread } of readings) {
    if (lab === undefined || lab.light !== 'D50' || lab.observer !== 2) continue;
    const v = spread * spread;
    const reading = { lab: lab.values, covariance: [v, 0, 0, 0, v, 0, 0, 0, v] };
    out.set(tile, [...(out.get(tile) ?? []), reading]);
  }
  return out;
}

async function recipesOf(ports: Ports, file: string): Promise<readonly Recipe[]> {
  const { recipes } = ports.readers.recipes(await ports.files.read(file), file);
  return recipes.map(({ of }) => of);
}

interface Row {
  readonly tile: string;
  readonly of: string;
  readonly lab: Lab;
  readonly spread: number;
  readonly photo: string;
  readonly kind: 'measured' | 'rough';
}

/** Readings worth keeping: the poor ones are left out, and said by their marks. */
function rowsOf(
  photos: readonly ReadOne[],
  layouts: readonly SheetLayout[],
  recipes: readonly Recipe[],
): Row[] {
  return photos.flatMap(({ file, read: { tiles, covariance, rough, sheet } }) =>
    tiles.flatMap((tile, i) => {
      if (tile.quality === 'poor') return [];
      const places = (sheet?.layout ?? layouts[0])?.places ?? [];
      const at = places.findIndex(({ name }) => name === tile.name);
      const recipe = recipes[at];
      const of = recipe === undefined ? quoted(tile.name) : formatRecipe(recipe);
      return [
        {
          tile: tile.name,
          of,
          lab: tile.lab,
          spread: ownSpread(covariance, tiles.length, i),
          photo: file,
          kind: rough === undefined ? ('measured' as const) : ('rough' as const),
        },
      ];
    }),
  );
}

/** A place number is no name of a clay by itself: in quotes it is. */
function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

function csvOf(rows: readonly Row[]): string {
  const cell = (text: string) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  const lines = rows.map(({ tile, of, lab, spread, photo, kind }) =>
    [
      cell(tile),
      cell(of),
      ...lab.map((v) => v.toFixed(2)),
      spread.toFixed(2),
      cell(photo),
      kind,
    ].join(','),
  );
  return ['tile,of,L,a,b,spread,photo,kind', ...lines, ''].join('\n');
}
