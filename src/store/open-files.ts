import { statSync } from 'node:fs';
import { AppError } from '../core/errors.ts';

/**
 * Tells whether the files of an open book are still the ones that were there when this was called. A folder
 * that was renamed, deleted or replaced leaves an open file that takes writes nobody will ever find, and so
 * does a deleted log; a file that was cut short loses what is written to it.
 * Shape:   asked before a change and after; the fault says whether the change was saved
 * Source:  POSIX stat, device and inode; Node gives the file index on Windows. A book's file never gets
 *          shorter by itself, as it is never vacuumed; its log stays until the last connection is closed
 */
export function openFiles(path: string): (before: boolean) => AppError | undefined {
  const log = `${path}-wal`;
  const first = lookAt(path);
  let firstLog = lookAt(log);
  let size = first?.size ?? 0n;
  return (before) => {
    const now = lookAt(path);
    if (now === undefined || !isSame(now, first)) return bookGone(path, before);
    if (now.size < size) return bookCut(path, size - now.size, before);
    size = now.size;
    const logNow = lookAt(log);
    firstLog ??= logNow;
    return isSame(logNow, firstLog) ? undefined : logGone(log, before);
  };
}

const lookAt = (path: string) => statSync(path, { bigint: true, throwIfNoEntry: false });

function isSame(one: ReturnType<typeof lookAt>, other: ReturnType<typeof lookAt>): boolean {
  return one?.dev === other?.dev && one?.ino === other?.ino;
}

const savedOrNot = (before: boolean) =>
  before ? 'This change was not saved.' : 'Whether this change was saved is not certain.';

function bookGone(path: string, before: boolean): AppError {
  return new AppError({
    code: 'book-gone',
    kind: 'unavailable',
    detail: `The book is no longer at ${path}: its folder was moved, renamed, deleted or replaced. ${savedOrNot(before)}`,
    hint: 'Put the folder back where it was, or start Kneadwell with the folder where the book is now.',
  });
}

function logGone(log: string, before: boolean): AppError {
  return new AppError({
    code: 'book-gone',
    kind: 'unavailable',
    detail: `The log of the book, ${log}, was moved, deleted or replaced while the book was open. ${savedOrNot(before)}`,
    hint: 'Close Kneadwell in the usual way, which writes what was saved before into the book, and start it again.',
  });
}

function bookCut(path: string, missing: bigint, before: boolean): AppError {
  return new AppError({
    code: 'book-damaged',
    kind: 'unavailable',
    detail: `${path} was cut short while it was open: ${missing} bytes are missing. ${savedOrNot(before)}`,
    hint: 'Close Kneadwell, and put the whole file back or restore the newest backup with "kneadwell restore".',
  });
}
