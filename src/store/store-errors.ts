import Database from 'better-sqlite3';
import { AppError } from '../core/errors.ts';

/**
 * One clear fault for whatever the engine or the disk says.
 * Source: result codes of SQLite, sqlite.org/rescode.html
 */
export function storeError(thrown: unknown, path: string): unknown {
  if (!(thrown instanceof Database.SqliteError)) return thrown;
  const { code } = thrown;
  const fault = (
    name: string,
    detail: string,
    hint: string,
    kind: 'unavailable' | 'internal' | 'conflict' = 'unavailable',
    retry = false,
  ) => new AppError({ code: name, kind, detail, hint, retry, cause: thrown });
  // The index of the log could not be made as long as it has to be, before anything else is looked at.
  if (code === 'SQLITE_FULL' || code === 'SQLITE_IOERR_SHMSIZE') {
    return fault(
      'disk-full',
      `There is no room left on the disk for ${path}. Nothing of this change was kept.`,
      'Free some room, and do it again. What was saved before is safe.',
      'unavailable',
      true,
    );
  }
  if (code.startsWith('SQLITE_READONLY') || code === 'SQLITE_PERM') {
    return fault(
      'book-read-only',
      `${path} cannot be written to.`,
      'Give yourself leave to write to the folder, or move the book to one where you have it.',
    );
  }
  if (code.startsWith('SQLITE_CANTOPEN') || code === 'SQLITE_AUTH') {
    return fault(
      'book-not-opened',
      `${path} cannot be opened or made.`,
      'Check that the folder exists and that you may write to it.',
    );
  }
  if (code.startsWith('SQLITE_IOERR')) {
    return fault(
      'disk-trouble',
      `The disk refused to read or write ${path} (${code}). Nothing of this change was kept.`,
      'Look after the disk, then close Kneadwell and start it again. What was saved before is safe.',
    );
  }
  if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB') {
    return fault(
      'book-damaged',
      `${path} is damaged, or no mix book.`,
      'Do not change the file. Restore the newest backup beside it.',
    );
  }
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED')) {
    return fault(
      'book-busy',
      `Another program holds ${path} just now.`,
      'Close what else has the file open, and do it again.',
      'conflict',
      true,
    );
  }
  return fault(
    'store-fault',
    `The book's store gave up: ${thrown.message} (${code}).`,
    'This is a mistake in Kneadwell. Nothing of this change was kept.',
    'internal',
  );
}

/**
 * After such a fault the last pages on the disk are unknown, and the disk may wrongly report success on a
 * second try, so nothing is written until the book is opened again. A full disk is no such fault: its
 * report is true.
 */
export function losesTrust(thrown: unknown): boolean {
  if (!(thrown instanceof Database.SqliteError)) return false;
  const { code } = thrown;
  return (
    (code.startsWith('SQLITE_IOERR') && code !== 'SQLITE_IOERR_WRITE') ||
    code.startsWith('SQLITE_CORRUPT')
  );
}

/** Whether what the system threw says that a disk, or what one person may use of it, is full. */
export function isFull(thrown: unknown): boolean {
  const { code } = thrown as NodeJS.ErrnoException;
  return code === 'ENOSPC' || code === 'EDQUOT' || code === 'EFBIG';
}
