import { AppError } from '../core/errors.ts';
import type { BookKind, BookRecord } from '../domain/records/record.ts';
import { PHOTO_TYPES } from '../domain/records/sample-bodies.ts';
import { allRecords } from './all-records.ts';
import type { Book } from './book.ts';

/** A file of an export, by its path inside of it. */
export interface ExportedFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

export interface ExportWriters {
  json(records: readonly BookRecord[]): string;
  tables(records: readonly BookRecord[]): ReadonlyMap<BookKind, string>;
}

export interface ExportCall {
  readonly as: 'json' | 'csv';
  readonly kind?: BookKind;
  /** With the bytes of photos and clay models. */
  readonly files: boolean;
}

export interface Exported {
  readonly records: number;
  readonly files: number;
  /** Photos and clay models whose bytes are missing or damaged. */
  readonly lacking: readonly string[];
}

/**
 * All of a book as files, handed on one by one so that photos need not all be in memory.
 * Holds:   the same book gives the same files, byte for byte
 */
export async function exportBook(
  book: Book,
  call: ExportCall,
  writers: ExportWriters,
  hand: (file: ExportedFile) => Promise<void>,
): Promise<Exported> {
  const records = await allRecords(book.ports.store, call.kind);
  const encoder = new TextEncoder();
  let files = 0;
  const give = async (path: string, bytes: Uint8Array) => {
    await hand({ path, bytes });
    files++;
  };
  if (call.as === 'json') await give('book.json', encoder.encode(writers.json(records)));
  else {
    for (const [kind, text] of writers.tables(records)) {
      await give(`${kind}.csv`, encoder.encode(text));
    }
  }
  const lacking: string[] = [];
  const given = new Set<string>();
  for (const record of call.files ? records : []) {
    if (record.kind !== 'photo' && record.kind !== 'clay-model') continue;
    const { sha256 } = record.body;
    if (given.has(sha256)) continue;
    given.add(sha256);
    let bytes: Uint8Array;
    try {
      bytes = await book.ports.files.get(sha256);
    } catch (fault) {
      if (!(fault instanceof AppError)) throw fault;
      lacking.push(record.id);
      continue;
    }
    // What cannot be written is no fault of the book, and ends the export.
    await give(`photos/${sha256}.${endingOf(record)}`, bytes);
  }
  return { records: records.length, files, lacking };
}

/** The ending a kept file has. */
export function endingOf(record: BookRecord): string {
  return record.kind === 'photo' ? PHOTO_TYPES[record.body.mediaType] : 'json';
}
