import type { Reading } from '../domain/reading.ts';
import { columnsOf } from './columns.ts';
import { csvTable } from './csv-table.ts';
import { type ReadingsRead, readingsFrom } from './reading-rows.ts';
import { textFromBytes } from './text.ts';

/**
 * Readings out of a CSV file as docs/formats.md describes it.
 * Shape:   bytes of a whole file -> one reading a row, in the order of the rows
 * Refuses: whatever it would have to guess; nothing is half-read -> file-unreadable (bad-input),
 *          naming file, line, column, what was found and what was expected
 */
export function readReadingsCsv(bytes: Uint8Array, fileName: string): ReadingsRead {
  return readingsFromCsvText(textFromBytes(bytes, fileName), fileName);
}

/** The same from text that is already decoded. */
export function readingsFromCsvText(
  text: string,
  fileName: string,
  basis?: Reading['basis'],
): ReadingsRead {
  const { header, rows, separator } = csvTable(text, fileName);
  const columns = columnsOf(header, fileName);
  return readingsFrom({
    file: fileName,
    columns,
    rows,
    separator,
    ...(basis === undefined ? {} : { basis }),
  });
}
