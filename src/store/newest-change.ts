import { closeSync, fsyncSync, openSync, readFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { AppError } from '../core/errors.ts';
import { NEWEST_FILE } from './book-names.ts';

/**
 * The number of the newest change that was said to be saved, in a small file beside the book, so that a book
 * that lost its newest changes can be distinguished from one that never had them.
 * Holds: written only after the change itself is on the disk, so the number is never ahead of a sound book
 * Limits: flushed only on closing; after a power cut the number may lag and a loss go unseen, never the
 *         other way round
 */
export interface NewestChange {
  write(seq: number): void;
  close(): void;
}

export function newestChangeIn(folder: string): NewestChange {
  let file: number | undefined;
  try {
    file = openSync(join(folder, NEWEST_FILE), 'a+', 0o600);
    closeSync(file);
    file = openSync(join(folder, NEWEST_FILE), 'r+');
  } catch {
    // The book can be read and written without it; only a loss would go unseen.
    file = undefined;
  }
  return {
    write(seq) {
      if (file === undefined) return;
      try {
        // One length always, so one write in place does it and needs no room.
        writeSync(file, `${String(seq).padStart(15)}\n`, 0);
      } catch {
        // The change itself is saved; see above.
      }
    },
    close() {
      if (file === undefined) return;
      try {
        fsyncSync(file);
      } catch {
        // As above.
      }
      closeSync(file);
      file = undefined;
    },
  };
}

/** Nothing where there is no such number, or none that can be read. */
export function readNewestChange(folder: string): number | undefined {
  try {
    const text = readFileSync(join(folder, NEWEST_FILE), 'utf8');
    return /^ *\d{1,15}\n$/.test(text) ? Number(text) : undefined;
  } catch {
    return undefined;
  }
}

/** What is said of a book that has fewer changes than were saved in it; nothing where it has them all. */
export function lostChanges(
  folder: string,
  saved: number | undefined,
  has: number,
): AppError | undefined {
  if (saved === undefined || saved <= has) return undefined;
  const lost = saved - has;
  return new AppError({
    code: 'book-lost-changes',
    kind: 'unavailable',
    detail: `The book in ${folder} has lost its newest ${lost === 1 ? 'change' : `${lost} changes`}: change ${saved} was saved, and the newest it has is ${has}. It is open for reading only, so that nothing gets worse.`,
    hint: `If the book was copied, copy book.sqlite-wal with it. Otherwise restore a backup with "kneadwell restore"; this book is then set aside. To go on with the book as it is, delete ${NEWEST_FILE} in its folder.`,
    more: { saved, has },
  });
}
