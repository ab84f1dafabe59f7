import { closeSync, existsSync, openSync, readdirSync, readSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { AppError } from '../core/errors.ts';
import { BACKUP_FOLDER, BOOK_FILE, PHOTO_FOLDER } from './book-names.ts';
import { readNewestChange } from './newest-change.ts';

const HEADER_BYTES = 100;

/**
 * Holds a book's file to the length its own header says; a log beside it may hold the rest, and then nothing
 * can be said.
 * Refuses: shorter -> book-damaged
 * Source:  sqlite.org/fileformat.html, offsets 16, 24, 28 and 92
 */
export function checkLength(path: string): void {
  if (!existsSync(path) || (statSync(`${path}-wal`, { throwIfNoEntry: false })?.size ?? 0) > 0) {
    return;
  }
  const header = Buffer.alloc(HEADER_BYTES);
  const file = openSync(path, 'r');
  try {
    if (readSync(file, header, 0, HEADER_BYTES, 0) < HEADER_BYTES) return;
  } finally {
    closeSync(file);
  }
  // Of 65,536 the header has 1.
  const said = header.readUInt16BE(16);
  const pageBytes = said === 1 ? 65_536 : said;
  const isCurrent = header.readUInt32BE(24) === header.readUInt32BE(92);
  const expected = header.readUInt32BE(28) * pageBytes;
  const { size } = statSync(path);
  if (!isCurrent || size >= expected) return;
  throw notWhole(`${path} is cut short: ${expected - size} of its ${expected} bytes are missing.`);
}

/**
 * Before a book is begun: is the folder one where a book was?
 * Refuses: a book file that is missing or empty where photos, backups or saved changes say that there was
 *          one -> book-damaged
 */
export function checkBeginning(folder: string): void {
  const path = join(folder, BOOK_FILE);
  const size = statSync(path, { throwIfNoEntry: false })?.size;
  if (size !== undefined && size > 0) return;
  // A log that is still there has everything in it that the file has not.
  if ((statSync(`${path}-wal`, { throwIfNoEntry: false })?.size ?? 0) > 0 && size === 0) {
    throw notWhole(`${path} is empty, though its log is beside it.`);
  }
  const left = hasFiles(join(folder, PHOTO_FOLDER), /^[0-9a-f]{64}\./)
    ? 'photos of a book are beside it'
    : hasFiles(join(folder, BACKUP_FOLDER), /\.zip$/)
      ? 'backups of a book are beside it'
      : (readNewestChange(folder) ?? 0) > 0
        ? 'changes were saved in it'
        : undefined;
  if (left === undefined) return;
  throw notWhole(`${path} is ${size === undefined ? 'missing' : 'empty'}, though ${left}.`);
}

function hasFiles(folder: string, name: RegExp): boolean {
  return existsSync(folder) && readdirSync(folder).some((one) => name.test(one));
}

function notWhole(detail: string): AppError {
  return new AppError({
    code: 'book-damaged',
    kind: 'unavailable',
    detail: `${detail}`,
    hint: 'Put the whole file back, or restore the newest backup with "kneadwell restore"; what is there is set aside. To begin a new book, use another folder.',
  });
}
