import type { Basis } from '../core/mixes/mix-graph.ts';
import { textFromBytes } from '../domain/text-file.ts';
import { columnsOf } from './columns.ts';
import { csvTable } from './csv-table.ts';
import { type ReadingsRead, readingsFrom } from './reading-rows.ts';

/**
 * Readings from a CSV file as docs/formats.md describes it.
 * Shape:   bytes of a whole file -> one reading for each row, in the order of the rows
 * Refuses: whatever would be a guess; a file is read completely or not at all -> file-unreadable
 *          (bad-input), naming file, line, column, what was found and what was expected
 */
export function readReadingsCsv(bytes: Uint8Array, fileName: string): ReadingsRead {
  return readingsFromCsvText(textFromBytes(bytes, fileName), fileName);
}

/** The same from text that is already decoded. */
export function readingsFromCsvText(text: string, fileName: string, basis?: Basis): ReadingsRead {
  const { header, rows, separator } = csvTable(text, { file: fileName });
  const columns = columnsOf(header, fileName);
  return readingsFrom({
    file: fileName,
    columns,
    rows,
    separator,
    ...(basis === undefined ? {} : { basis }),
  });
}
