import { mkdirSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { AppError } from '../core/errors.ts';

/**
 * A folder, with those above it; one that is there stays as it is.
 * Refuses: no leave, no such place, a file in its way -> book-not-opened (unavailable)
 * Holds:   it ends, also where a system says of a folder that is there that it is not: `recursive` of
 *          Node then tries without end, under /proc for one
 */
export function makeFolder(path: string): void {
  try {
    makeWithClays(resolve(path));
  } catch (thrown) {
    throw new AppError({
      code: 'book-not-opened',
      kind: 'unavailable',
      detail: `The folder ${path} cannot be made or written to.`,
      hint: 'Check that the folder above it exists and that you may write there.',
      cause: thrown,
    });
  }
}

function makeWithClays(path: string): void {
  const there = statSync(path, { throwIfNoEntry: false });
  if (there?.isDirectory() === true) return;
  const above = dirname(path);
  if (there === undefined && above !== path) makeWithClays(above);
  try {
    mkdirSync(path, { mode: 0o700 });
  } catch (thrown) {
    // Another program may have been quicker.
    if (statSync(path, { throwIfNoEntry: false })?.isDirectory() !== true) throw thrown;
  }
}
