import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { AppError } from '../core/errors.ts';
import { BOOK_FILE, RESTORE_PLAN } from './book-names.ts';
import { storeError } from './store-errors.ts';

/**
 * A copy of a book that another process has open, as it is at one moment. It is read through the engine's
 * own locks and never written to; who has it open is not held up.
 * Source:  sqlite.org/lang_vacuum.html, VACUUM INTO; sqlite.org/wal.html, one writer and many readers
 */
export function copySnapshot(folder: string, to: string): void {
  const path = join(folder, BOOK_FILE);
  try {
    const raw = new Database(path, { readonly: true, fileMustExist: true, timeout: 5000 });
    try {
      raw.prepare('vacuum into ?').run(to);
    } finally {
      raw.close();
    }
  } catch (thrown) {
    throw storeError(thrown, path);
  }
}

/** Whether a folder has a book, or is about to be given one by a restore. */
export function hasBook(folder: string): boolean {
  return existsSync(join(folder, BOOK_FILE)) || existsSync(join(folder, RESTORE_PLAN));
}

/**
 * Schema of a book, looked at from outside. Where the engine cannot read it, because nothing may be written
 * beside it, the header of its file tells.
 * Source: sqlite.org/fileformat.html, offset 60, the user version
 */
export function schemaOf(folder: string): number {
  const path = join(folder, BOOK_FILE);
  try {
    return schemaThroughEngine(path);
  } catch (fault) {
    const closed = ['book-not-opened', 'book-read-only', 'disk-full'];
    if (!(fault instanceof AppError) || !closed.includes(fault.code)) throw fault;
    const header = readFileSync(path).subarray(0, 100);
    return header.length < 100 ? 0 : header.readUInt32BE(60);
  }
}

function schemaThroughEngine(path: string): number {
  try {
    const raw = new Database(path, { readonly: true, fileMustExist: true });
    try {
      return raw.pragma('user_version', { simple: true }) as number;
    } finally {
      raw.close();
    }
  } catch (thrown) {
    throw storeError(thrown, path);
  }
}
