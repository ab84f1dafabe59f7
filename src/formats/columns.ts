import { lettersToChange } from '../core/notation/nearest-name.ts';
import { READING_RANGE } from '../domain/records/reading.ts';
import { unreadable } from '../domain/unreadable-file.ts';
import { cellOf, type Row } from './delimited.ts';

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
  'translucent',
  'photo',
  'effect',
  'partsSpread',
  'scale',
  'checked',
] as const;
export type ColumnName = (typeof COLUMN_NAMES)[number];

/** A band of the spectrum and its place. */
export interface BandColumn {
  readonly wavelengthNm: number;
  /** Place in the row, 0 is the first. */
  readonly index: number;
  readonly name: string;
  /** Scale of the values, where the heading itself says so. */
  readonly scale?: 1 | 100;
}

export interface Columns {
  readonly named: ReadonlyMap<ColumnName, { readonly index: number; readonly name: string }>;
  /** By rising wavelength. */
  readonly bands: readonly BandColumn[];
  /** Places without a heading, e.g. after a trailing separator; their cells must be empty. */
  readonly unnamed: readonly number[];
  /** Number of columns, ignored ones counted. */
  readonly width: number;
  /** Line of the headings. */
  readonly line: number;
}

const KEYS = new Map<string, ColumnName>([
  ...COLUMN_NAMES.map((name) => [keyOf(name), name] as const),
  ...(['name', 'tile name', 'sample', 'sample name'] as const).map(
    (name) => [keyOf(name), 'tile'] as const,
  ),
  ...(['recipe', 'mix', 'made of'] as const).map((name) => [keyOf(name), 'of'] as const),
  ['thickness', 'thicknessMm'],
]);
/** L*, CIE L, Lab L and the like; also of a and b. */
const LAB = /^(?:cie)?(?:lab)?([lab])$/;
/** R450, 450, 450 nm, R450%, and the names that instruments write. */
const BAND = /^(?:spectralnm|spectral(pct|dec)?|spec|nm|r)?(\d{3,4}(?:[.,]\d+)?)(?:nm)?(%?)$/;

/** Case, spaces, underlines, hyphens, brackets and the star of L* do not distinguish columns. */
function keyOf(name: string): string {
  return name.toLowerCase().replace(/[\s_*()[\]-]+/g, '');
}

export function columnNamed(name: string): ColumnName | undefined {
  const key = keyOf(name);
  const axis = LAB.exec(key)?.[1];
  return axis === undefined ? KEYS.get(key) : axis === 'l' ? 'L' : (axis as 'a' | 'b');
}

/** The wavelength a heading names, and the scale where the heading says so. */
export function bandNamed(
  name: string,
): { readonly wavelengthNm: number; readonly scale?: 1 | 100 } | undefined {
  const found = BAND.exec(keyOf(name));
  if (found === null) return undefined;
  const [, form, nm = '', percent] = found;
  const wavelengthNm = Number(nm.replace(',', '.'));
  if (percent !== '' || form === 'pct') return { wavelengthNm, scale: 100 };
  return form === 'dec' ? { wavelengthNm, scale: 1 } : { wavelengthNm };
}

/** Whether a table of readings may have this heading. */
export function isColumnHeading(name: string): boolean {
  return columnNamed(name) !== undefined || bandNamed(name) !== undefined;
}

/**
 * The meaning of each heading of a CSV of readings.
 * Refuses: an unknown heading (with the known one most like it), one meaning twice, no `tile`, no `of`,
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
    const band = bandNamed(name);
    const key = column ?? (band === undefined ? undefined : `R${band.wavelengthNm}`);
    if (key === undefined) {
      throw unreadable({
        ...at,
        expected: `a known heading, perhaps "${similarName(name)}"`,
        hint: 'Begin the headings of your own columns with note or x-.',
      });
    }
    const first = seen.get(key);
    if (first !== undefined) {
      throw unreadable({
        ...at,
        expected: `each heading once (column ${first}, "${cellOf(header, first - 1).text}", is the same)`,
        hint: 'Remove one of the two columns, or begin its heading with x-.',
      });
    }
    seen.set(key, index + 1);
    if (column !== undefined) named.set(column, { index, name });
    if (band === undefined) return;
    const [low, high] = READING_RANGE.wavelengthNm;
    if (band.wavelengthNm < low || band.wavelengthNm > high) {
      throw unreadable({
        ...at,
        expected: `a wavelength between ${low} and ${high} nm`,
        hint: 'R450 or 450 means the reflectance at 450 nm.',
      });
    }
    bands.push({ ...band, index, name });
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

function similarName(name: string): string {
  const key = keyOf(name).slice(0, 40);
  const wavelength = /\d{3,4}/.exec(key)?.[0];
  if (wavelength !== undefined) return `R${wavelength}`;
  const distance = (known: string) => lettersToChange(key, keyOf(known));
  return COLUMN_NAMES.reduce((best, known) => (distance(known) < distance(best) ? known : best));
}
