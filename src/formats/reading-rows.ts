import { pairs } from '../core/numeric/pairs.ts';
import { READING_RANGE, type Reading } from '../domain/records/reading.ts';
import { unreadable } from '../domain/unreadable-file.ts';
import { agreeOnTiles } from './agreement.ts';
import { checkBands, checkColour } from './check-columns.ts';
import type { ColumnName, Columns } from './columns.ts';
import { cellOf } from './delimited.ts';
import { checkLabScale } from './lab-scale.ts';
import { decimalMarkOf, type NumberCell } from './numbers.ts';
import { type ReadingDraft, RowReader } from './reading-row.ts';
import { scaleOf } from './reflectance-scale.ts';
import type { ReadingTable } from './row-cells.ts';
import { checkWidths } from './table-columns.ts';

export interface ReadingsRead {
  readonly readings: readonly Reading[];
  /** What was assumed because the file does not say, in whole sentences. */
  readonly notes: readonly string[];
}

/**
 * The readings of a table, all or none.
 * Refuses: any cell that does not fit its heading; rows of another width; a row with neither Lab nor
 *          spectrum, or with part of one; a tile with two recipes; a scale that is not clear
 *          -> file-unreadable
 */
export function readingsFrom(table: ReadingTable): ReadingsRead {
  const { file, columns, rows } = table;
  checkShape(table);
  const decimal = decimalMarkOf(numberCells(table), table.separator, file);
  const drafts = rows.map((row) => new RowReader(table, row, decimal).draft());
  checkLabScale(drafts, columns, file);
  const stated = table.norm ?? columns.bands[0]?.scale;
  const open = drafts.filter(({ values, norm }) => values.length > 0 && norm === undefined);
  const norm = stated ?? scaleOf(open, file);
  const notes: string[] = [];
  if (stated === undefined && open.length > 0 && norm === 100) {
    notes.push(`${file}: the reflectances are read as per cent (0-100).`);
  }
  if (decimal === ',') notes.push(`${file}: the comma is read as the decimal mark.`);
  const readings = drafts.map((draft) => withReflectance(draft, draft.norm ?? norm, columns, file));
  return { readings: agreeOnTiles(readings), notes };
}

function checkShape({ file, columns, rows }: ReadingTable): void {
  checkColour(columns, file);
  if (rows.length === 0) {
    throw unreadable({
      file,
      saw: 'headings and no rows',
      expected: 'one row for every reading',
      hint: 'Check that the file was saved completely.',
    });
  }
  checkWidths(rows, columns.width, file);
  for (const row of rows) {
    for (const index of columns.unnamed) {
      const cell = cellOf(row, index);
      if (cell.text === '') continue;
      throw unreadable({
        file,
        line: cell.line,
        column: index + 1,
        found: cell.text,
        expected: 'nothing, as the column has no heading',
        hint: 'Give the column a heading; use note for any text.',
      });
    }
  }
  if (columns.bands.some(({ index }) => rows.some((row) => cellOf(row, index).text !== ''))) {
    checkBands(columns, file);
  }
}

const NUMBERS: readonly ColumnName[] = ['L', 'a', 'b', 'spread', 'thicknessMm', 'partsSpread'];

function* numberCells({ columns, rows }: ReadingTable): Generator<NumberCell> {
  const named = NUMBERS.flatMap((name) => columns.named.get(name) ?? []);
  for (const row of rows) {
    for (const { index, name } of [...named, ...columns.bands]) {
      yield { ...cellOf(row, index), column: index + 1, name };
    }
  }
}

function withReflectance(
  draft: ReadingDraft,
  norm: number,
  columns: Columns,
  file: string,
): Reading {
  const { reading, row, values } = draft;
  if (values.length === 0) return reading;
  const [low, high] = READING_RANGE.reflectance;
  const reflectance = pairs(values, columns.bands).map(([value, { index, name }]) => {
    const share = value / norm;
    if (share >= low && share <= high) return share;
    const { text, line } = cellOf(row, index);
    throw unreadable({
      file,
      line,
      column: index + 1,
      name,
      found: text,
      expected: `a reflectance between ${low * norm} and ${high * norm}`,
      hint: 'Check the number, the decimal mark, and whether the whole file is 0-1 or 0-100.',
    });
  });
  const wavelengthsNm = columns.bands.map((band) => band.wavelengthNm);
  return { ...reading, spectrum: { wavelengthsNm, reflectance } };
}
