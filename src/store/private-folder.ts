import { chmodSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { PHOTO_FOLDER } from './book-names.ts';

/** Others' rights, in the mode of a file. */
const OTHERS = 0o077;
/** Names that only a book's folder has. One that holds something else besides may be for others too. */
const OWN =
  /^(?:book\.|book-before-|server\.sqlite|before-restore-|\.restoring-|restore\.json|kneadwell-demo\.json|photos$|backups$|drafts$|incoming$|demo$)/;

/**
 * Takes every right of others from a book's folder and from what is in it, as a mix book is one person's.
 * Windows keeps rights in another way, and there a person's own folders are closed already.
 * Holds: what the owner may do stays as it is; another person's file is left alone, and so is a folder that
 *        holds more than a book
 */
export function makePrivate(folder: string): void {
  if (process.platform === 'win32') return;
  const names = namesIn(folder);
  const own = names.filter((name) => OWN.test(name));
  if (own.length === names.length) close(folder);
  for (const name of own) close(join(folder, name));
  const photos = join(folder, PHOTO_FOLDER);
  for (const name of namesIn(photos)) close(join(photos, name));
}

function close(path: string): void {
  const stats = statSync(path, { throwIfNoEntry: false });
  if (stats === undefined || (stats.mode & OTHERS) === 0) return;
  try {
    chmodSync(path, stats.mode & 0o7700);
  } catch {
    // Of another owner, or a disk that has no rights: it is theirs to say.
  }
}

function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}
