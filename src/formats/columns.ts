import { READING_RANGE } from '../domain/reading.ts';
import type { Row } from './delimited.ts';
import { unreadable } from './refusal.ts';

/** Named columns of a table of readings, as the documents spell them. */
const COLUMN_NAMES = [
  'tile',
  'of',
  'kind',
  'basis',
  'state',
  'L',
  'a',
  'b',
  'light',
  'observer',
  'spread',
  'geometry',
  'thicknessMm',
  'backing',
  'photo',
  'effect',
  'partsSpread',
] as const;
export type ColumnName = (typeof COLUMN_NAMES)[number];

/** A band of the spectrum and where it stands. */
export interface BandColumn {
  readonly wavelengthNm: number;
  /** Place in the row, 0 is the first. */
  readonly index: number;
  readonly name: string;
  /** What the values are of, where the heading itself says so. */
  readonly scale?: 1 | 100;
}

export interface Columns {
  readonly named: ReadonlyMap<ColumnName, { readonly index: number; readonly name: string }>;
  /** By rising wavelength. */
  readonly bands: readonly BandColumn[];
  /** Places without a heading, e.g. after a trailing separator; nothing may stand in them. */
  readonly unnamed: readonly number[];
  /** Number of columns, those left out counted. */
  readonly width: number;
  readonly line: number;
}

const KEYS = new Map<string, ColumnName>(COLUMN_NAMES.map((name) => [keyOf(name), name]));
const BAND = /^r(\d{3,4}(?:[.,]\d+)?)(?:nm)?(%?)$/;

/** Case, spaces, underlines and the star of L* do not tell columns apart. */
function keyOf(name: string): string {
  return name.toLowerCase().replace(/[\s_*]+/g, '');
}

export function columnNamed(name: string): ColumnName | undefined {
  return KEYS.get(keyOf(name));
}

/** Whether a heading is one a table of readings may have. */
export function isColumnHeading(name: string): boolean {
  return columnNamed(name) !== undefined || BAND.test(keyOf(name));
}

/**
 * What each heading of a CSV of readings means.
 * Refuses: an unknown heading (with the nearest known one), one heading twice, no `tile`, no `of`,
 *          wavelengths outside READING_RANGE -> file-unreadable
 */
export function columnsOf(header: Row, file: string): Columns {
  const named = new Map<ColumnName, { index: number; name: string }>();
  const bands: BandColumn[] = [];
  const seen = new Map<string, number>();
  header.cells.forEach(({ text: name, line }, index) => {
    if (name === '' || /^(?:note|x-)/i.test(name)) return;
    const at = { file, line, column: index + 1, found: name };
    const column = columnNamed(name);
    const band = BAND.exec(keyOf(name));
    const wavelengthNm = band === null ? undefined : Number(band[1].replace(',', '.'));
    const key = column ?? (wavelengthNm === undefined ? undefined : `R${wavelengthNm}`);
    if (key === undefined) {
      throw unreadable({
        ...at,
        expected: `a heading that is known, perhaps "${nearestName(name)}"`,
        hint: 'Columns of your own may begin with note or x-.',
      });
    }
    const first = seen.get(key);
    if (first !== undefined) {
      throw unreadable({
        ...at,
        expected: `each heading once (it stands in column ${first} too)`,
        hint: 'Take one of the two out.',
      });
    }
    seen.set(key, index + 1);
    if (column !== undefined) named.set(column, { index, name });
    if (band === null || wavelengthNm === undefined) return;
    const [low, high] = READING_RANGE.wavelengthNm;
    if (wavelengthNm < low || wavelengthNm > high) {
      throw unreadable({
        ...at,
        expected: `a wavelength between ${low} and ${high} nm`,
        hint: 'R450 means the reflectance at 450 nm.',
      });
    }
    bands.push({ wavelengthNm, index, name, ...(band[2] === '%' ? { scale: 100 as const } : {}) });
  });
  for (const name of ['tile', 'of'] as const) {
    if (!named.has(name)) {
      throw unreadable({
        file,
        line: header.line,
        saw: 'no such column among the headings',
        expected: `a column "${name}"`,
        hint: 'The first line names the columns, for example: tile,of,L,a,b',
      });
    }
  }
  bands.sort((p, q) => p.wavelengthNm - q.wavelengthNm);
  const unnamed = header.cells.flatMap(({ text }, index) => (text === '' ? [index] : []));
  return { named, bands, unnamed, width: header.cells.length, line: header.line };
}

/**
 * Whether the bands make a spectrum that can be carried onto a grid of 10 nm.
 * Refuses: fewer than 10 between 380 and 730 nm, a step above 20 nm, per cent signs on some headings
 *          only -> file-unreadable
 * Source:  steps: CIE 167:2005, which advises against interpolating anything coarser
 */
export function checkBands({ bands, line }: Columns, file: string): void {
  const inside = bands.filter((band) => band.wavelengthNm >= 380 && band.wavelengthNm <= 730);
  if (inside.length < 10) {
    throw unreadable({
      file,
      line,
      saw: `${inside.length} wavelengths between 380 and 730 nm`,
      expected: 'at least 10',
      hint: 'Export the whole spectrum, or give the colour as L, a, b.',
    });
  }
  for (let i = 1; i < bands.length; i++) {
    const before = bands[i - 1];
    const { wavelengthNm, index, name, scale } = bands[i];
    const at = { file, line, column: index + 1, found: name };
    if (wavelengthNm - before.wavelengthNm > 20) {
      throw unreadable({
        ...at,
        expected: `a wavelength at most 20 nm above ${before.wavelengthNm}`,
        hint: 'Export the spectrum in steps of 10 nm.',
      });
    }
    if (scale !== before.scale) {
      throw unreadable({
        ...at,
        expected: `the same scale as in "${before.name}"`,
        hint: 'Put % on every heading of the spectrum, or on none.',
      });
    }
  }
}

function nearestName(name: string): string {
  const key = keyOf(name).slice(0, 40);
  const wavelength = /\d{3,4}/.exec(key)?.[0];
  if (wavelength !== undefined) return `R${wavelength}`;
  const distance = (known: string) => editDistance(key, keyOf(known));
  return COLUMN_NAMES.reduce((best, known) => (distance(known) < distance(best) ? known : best));
}

/** Least number of letters put in, taken out or changed (Levenshtein, the plain table). */
function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(change, row[j] + 1, next[j - 1] + 1));
    }
    row = next;
  }
  return row[b.length];
}
