import { AppError } from '../core/errors.ts';
import type { ImportKind } from '../domain/import-kinds.ts';
import { isShareText } from '../domain/share/share-codec.ts';
import { textFromBytes } from '../domain/text-file.ts';
import { isBookTable } from './book-csv.ts';
import { bandNamed, columnNamed } from './columns.ts';
import { headingsOf } from './csv-table.ts';
import { isCgats } from './readings.ts';

/** So many wavelengths among the headings make a spectrum. */
const LEAST_BANDS = 10;

/**
 * What is in a file for the mix book: readings (CSV or CGATS), an export of a book, a share file, or else notes.
 * Refuses: what `textFromBytes` refuses, of any size; archives, other JSON -> file-unreadable (bad-input)
 */
export function fileKind(bytes: Uint8Array, file: string): ImportKind {
  if (bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4) {
    throw unusable(
      `${file} is an archive.`,
      'Restore a backup with "kneadwell restore"; save the sheet of a workbook as CSV UTF-8.',
    );
  }
  const text = textFromBytes(bytes, file, Number.POSITIVE_INFINITY);
  if (/^\s*\{\s*"format"\s*:\s*"kneadwell-book"/.test(text) || isBookTable(text)) return 'export';
  if (/^\s*\{/.test(text) && isShareText(text)) return 'share';
  if (/^\s*\{/.test(text)) {
    throw unusable(
      `${file} is JSON, but neither an export of a mix book nor a share file.`,
      'Import the readings instead; the book makes its own clay model with "kneadwell learn --book".',
    );
  }
  return isCgats(text) || isReadingTable(text) ? 'readings' : 'shorthand';
}

/** Whether the headings are those of readings: a tile with its recipe, or a colour. */
function isReadingTable(text: string): boolean {
  const headings = headingsOf(text);
  const lower = headings.map((heading) => heading.toLowerCase());
  if (lower.includes('tile') && lower.includes('of')) return true;
  const named = new Set(headings.map(columnNamed));
  const bands = headings.filter((heading) => bandNamed(heading) !== undefined);
  return (named.has('L') && named.has('a') && named.has('b')) || bands.length >= LEAST_BANDS;
}

function unusable(detail: string, hint: string): AppError {
  return new AppError({ code: 'file-unreadable', kind: 'bad-input', detail, hint });
}
