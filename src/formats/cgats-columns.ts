import { pairs } from '../core/numeric/pairs.ts';
import { READING_RANGE } from '../domain/records/reading.ts';
import { unreadable } from '../domain/unreadable-file.ts';
import { type CgatsDocument, keywordOf } from './cgats-document.ts';
import {
  type BandColumn,
  bandNamed,
  type ColumnName,
  type Columns,
  columnNamed,
} from './columns.ts';
import { cellOf } from './delimited.ts';
import { numberFrom } from './numbers.ts';

/**
 * The meaning of each field of a CGATS table. Fields of other kinds (device values, XYZ, densities) are
 * ignored: the standard has hundreds and none of them is a reading.
 * The tile is TILE, else SAMPLE_NAME, else SAMPLE_ID. Without OF or RECIPE the SAMPLE_NAME is read as the
 * recipe, and then SAMPLE_ID, if present, names the tile.
 * Refuses: a field twice, nothing that could be a tile or a recipe, bands that do not agree with
 *          SPECTRAL_BANDS, SPECTRAL_START_NM, SPECTRAL_END_NM -> file-unreadable
 */
export function cgatsColumns(document: CgatsDocument, file: string): Columns {
  const { format } = document;
  const named = new Map<ColumnName, { index: number; name: string }>();
  const samples = new Map<string, { index: number; name: string }>();
  const bands: BandColumn[] = [];
  const seen = new Map<string, number>();
  format.cells.forEach(({ text: name, line }, index) => {
    const upper = name.toUpperCase();
    const sample = upper === 'SAMPLE_NAME' || upper === 'SAMPLE_ID';
    // One letter alone may be a device value.
    const column = sample || upper.length === 1 ? undefined : columnNamed(name);
    const band = bandNamed(name);
    if (column === undefined && band === undefined && !sample) return;
    const key = column ?? (band === undefined ? upper : `band ${band.wavelengthNm}`);
    const first = seen.get(key);
    if (first !== undefined) {
      throw unreadable({
        file,
        line,
        column: index + 1,
        found: name,
        expected: `each field once (column ${first} has the same)`,
        hint: 'Export each quantity once.',
      });
    }
    seen.set(key, index + 1);
    if (sample) samples.set(upper, { index, name });
    else if (column !== undefined) named.set(column, { index, name });
    else if (band !== undefined) bands.push({ ...band, index, name });
  });
  nameSamples(named, samples, file, format.line);
  for (const pair of pairedBands(document, file)) bands.push(pair);
  bands.sort((p, q) => p.wavelengthNm - q.wavelengthNm);
  const exact = exactBands(document, bands, file);
  return { named, bands: exact, unnamed: [], width: format.cells.length, line: format.line };
}

function nameSamples(
  named: Map<ColumnName, { index: number; name: string }>,
  samples: ReadonlyMap<string, { index: number; name: string }>,
  file: string,
  line: number,
): void {
  const name = samples.get('SAMPLE_NAME');
  const id = samples.get('SAMPLE_ID');
  const hasRecipe = named.has('of');
  if (!hasRecipe && name !== undefined) named.set('of', name);
  const tile = hasRecipe ? (name ?? id) : (id ?? name);
  if (!named.has('tile') && tile !== undefined) named.set('tile', tile);
  if (named.has('of') && named.has('tile')) return;
  throw unreadable({
    file,
    line,
    saw: named.has('of') ? 'no field that names the tile' : 'no field with the recipe of the tile',
    expected: 'SAMPLE_NAME or SAMPLE_ID, and OF (or a recipe as SAMPLE_NAME)',
    hint: 'Give each sample its recipe as the name, for example "5 Kelp + 2 Foam".',
  });
}

/** Bands written as pairs: a field SPECTRAL_NM with the wavelength, then its value. */
function pairedBands({ format, sets }: CgatsDocument, file: string): BandColumn[] {
  const bands: BandColumn[] = [];
  format.cells.forEach((field, index) => {
    if (field.text.toUpperCase() !== 'SPECTRAL_NM') return;
    const value = format.cells[index + 1]?.text.toUpperCase() ?? '';
    const scale = value === 'SPECTRAL_PCT' ? 100 : value === 'SPECTRAL_DEC' ? 1 : undefined;
    if (scale === undefined) {
      throw unreadable({
        file,
        line: field.line,
        column: index + 2,
        found: value,
        expected: 'SPECTRAL_PCT or SPECTRAL_DEC after SPECTRAL_NM',
        hint: 'Or export with the wavelength in the name of each field, as in SPECTRAL_NM450.',
      });
    }
    const first = sets[0]?.cells[index];
    const wavelengthNm = numberFrom(first?.text ?? '', '.');
    const other = sets.find((set) => numberFrom(cellOf(set, index).text, '.') !== wavelengthNm);
    const [low, high] = READING_RANGE.wavelengthNm;
    const bad = wavelengthNm === undefined || wavelengthNm < low || wavelengthNm > high;
    if (first === undefined) return;
    if (bad || other !== undefined) {
      const cell = bad ? first : (other?.cells[index] ?? first);
      throw unreadable({
        file,
        line: cell.line,
        column: index + 1,
        name: field.text,
        found: cell.text,
        expected: bad ? 'a wavelength in nm' : `${first.text} nm, as in the first set`,
        hint: 'Export all samples with the same wavelengths.',
      });
    }
    const name = `${value} ${wavelengthNm}`;
    bands.push({ wavelengthNm, index: index + 1, name, scale });
  });
  return bands;
}

/**
 * Field names round the wavelength to whole nm (SPEC_383 for 383.33); where the keywords give both ends and
 * the count, the bands are evenly spaced between.
 */
function exactBands(
  { keywords }: CgatsDocument,
  bands: readonly BandColumn[],
  file: string,
): readonly BandColumn[] {
  const [count, start, end] = ['SPECTRAL_BANDS', 'SPECTRAL_START_NM', 'SPECTRAL_END_NM'].map(
    (name) => keywordOf(keywords, name, file),
  );
  const [low] = bands;
  const high = bands.at(-1);
  if (low === undefined || high === undefined) return bands;
  if (count !== undefined && numberFrom(count.text, '.') !== bands.length) {
    throw unreadable({
      file,
      line: count.line,
      found: `SPECTRAL_BANDS ${count.text}`,
      expected: `SPECTRAL_BANDS ${bands.length}, as ${bands.length} fields hold a spectrum`,
      hint: 'Check that the file was saved completely.',
    });
  }
  const last = bands.length - 1;
  const startNm = numberFrom(start?.text ?? '', '.') ?? low.wavelengthNm;
  const endNm = numberFrom(end?.text ?? '', '.') ?? high.wavelengthNm;
  for (const [cell, nm, band] of [
    [start, startNm, low],
    [end, endNm, high],
  ] as const) {
    if (cell === undefined || Math.abs(nm - band.wavelengthNm) <= ROUNDED_NM) continue;
    throw unreadable({
      file,
      line: cell.line,
      found: cell.text,
      expected: `${band.wavelengthNm} nm, as in the field ${band.name}`,
      hint: 'Export the file again.',
    });
  }
  if (count === undefined || start === undefined || end === undefined || last === 0) return bands;
  const even = bands.map((band, i) => ({
    ...band,
    wavelengthNm: startNm + ((endNm - startNm) * i) / last,
  }));
  const isEven = pairs(even, bands).every(
    ([one, band]) => Math.abs(one.wavelengthNm - band.wavelengthNm) <= ROUNDED_NM,
  );
  return isEven ? even : bands;
}

/** Half a nanometre of rounding and a little more. */
const ROUNDED_NM = 0.51;
