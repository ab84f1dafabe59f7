import type { Lab } from '../core/colour/triples.ts';
import { AppError } from '../core/errors.ts';
import { PATCH_NAMES } from '../core/photo/chart-values.ts';
import type { SheetLayout } from '../core/photo/sheet-layout.ts';
import type { RawBakedPair } from '../core/verdict/line-shift.ts';
import { labOfReading } from '../domain/records/lab-of-reading.ts';
import type { Reading } from '../domain/records/reading.ts';
import { sheetLayoutSchema } from '../domain/records/sheet-layout.ts';
import type { TileRead } from './question-parts.ts';
import type { ReadQuestion } from './read-question.ts';

/** A board of one's own, from the text of its file. Refuses: what is none -> sheet-unreadable */
export function boardFrom(text: string, title: string): SheetLayout {
  let given: unknown;
  try {
    given = JSON.parse(text);
  } catch (cause) {
    throw notABoard(title, 'it is no JSON', cause);
  }
  const parsed = sheetLayoutSchema.safeParse(given);
  if (parsed.success) return parsed.data;
  const issues = parsed.error.issues.slice(0, 1);
  const why = issues.map(({ path, message }) => `${path.join('.') || 'the whole'}: ${message}`);
  throw notABoard(title, why.join());
}

function notABoard(title: string, why: string, cause?: unknown): AppError {
  return new AppError({
    code: 'sheet-unreadable',
    kind: 'bad-input',
    detail: `${title} does not describe a board with markers: ${why}.`,
    hint: 'Name A4, Letter, none, or a file as docs/photo.md has it.',
    cause,
  });
}

/** Colours of a chart of one's own, A1 to D6. Refuses: patches without a colour -> chart-incomplete */
export function chartFrom(readings: readonly Reading[], title: string): readonly Lab[] {
  const labs = PATCH_NAMES.flatMap((name) => {
    const lab = readings.find(({ tile }) => tile.trim().toUpperCase() === name)?.lab;
    return lab !== undefined && lab.light === 'D50' && lab.observer === 2
      ? [{ name, values: lab.values }]
      : [];
  });
  const missing = PATCH_NAMES.filter((name) => labs.every((one) => one.name !== name));
  if (missing.length === 0) return labs.map(({ values }) => values);
  throw new AppError({
    code: 'chart-incomplete',
    kind: 'bad-input',
    detail: `${title} lacks a Lab under D50 and 2 degrees for ${missing.slice(0, 6).join(', ')}${missing.length > 6 ? ' …' : ''}.`,
    hint: 'A chart file has 24 readings whose tiles are named A1 to D6, the greys in row D.',
  });
}

/** Earlier readings of control tiles, by tile name. */
export function controlsFrom(readings: readonly Reading[]): ReadQuestion['controls'] {
  const controls = new Map<string, { lab: Lab; spread: number }[]>();
  for (const { tile, lab, spread } of readings) {
    if (lab === undefined || lab.light !== 'D50' || lab.observer !== 2) continue;
    controls.set(tile, [...(controls.get(tile) ?? []), { lab: lab.values, spread }]);
  }
  return [...controls].map(([name, earlier]) => ({ name, earlier }));
}

/** The colours of baked tiles with their recipes. */
export function tilesFrom(readings: readonly Reading[]): TileRead[] {
  return readings.flatMap((reading) => {
    const lab = reading.state === 'baked' ? labOfReading(reading) : undefined;
    return lab === undefined
      ? []
      : [{ tile: reading.tile, recipe: reading.of, lab, spread: reading.spread }];
  });
}

/** Tiles that were read raw and baked, each by the newest reading of both; D50, 2 degrees. */
export function pairsFrom(readings: readonly Reading[]): RawBakedPair[] {
  const byTile = new Map<string, Partial<Record<Reading['state'], Reading>>>();
  for (const reading of readings) {
    byTile.set(reading.tile, { ...byTile.get(reading.tile), [reading.state]: reading });
  }
  return [...byTile.values()].flatMap(({ raw, baked }) => {
    if (raw === undefined || baked === undefined) return [];
    const [rawLab, bakedLab] = [labOfReading(raw), labOfReading(baked)];
    if (rawLab === undefined || bakedLab === undefined) return [];
    const spread = Math.hypot(raw.spread, baked.spread) / Math.SQRT2;
    return [{ raw: rawLab, baked: bakedLab, spread }];
  });
}
