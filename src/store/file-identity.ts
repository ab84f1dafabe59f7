import { statSync } from 'node:fs';
import { AppError } from '../core/errors.ts';

/**
 * Tells whether the file at a path is still the one that was there when this was called: a folder that was
 * renamed, deleted or replaced leaves an open file that takes writes nobody will ever find.
 * Source: POSIX stat, device and inode; Node gives the file index on Windows
 */
export function sameFileAt(path: string): () => boolean {
  const first = statSync(path, { bigint: true });
  return () => {
    const now = statSync(path, { bigint: true, throwIfNoEntry: false });
    return now !== undefined && now.dev === first.dev && now.ino === first.ino;
  };
}

/** `before`: found out before anything was written. */
export function bookGone(path: string, before: boolean): AppError {
  return new AppError({
    code: 'book-gone',
    kind: 'unavailable',
    detail: `The book is no longer at ${path}: its folder was moved, renamed, deleted or replaced. ${before ? 'This change was not saved.' : 'Whether this change was saved is not certain.'}`,
    hint: 'Put the folder back where it was, or start Kneadwell with the folder where the book is now.',
  });
}
