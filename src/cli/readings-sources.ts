import type { BookAccess } from '../book/book-access.ts';
import { readingsOfBook } from '../book/readings-of-book.ts';
import { AppError } from '../core/errors.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { sha256Of } from '../domain/canonical-json.ts';
import { CLAY_FORMAT } from '../domain/clay-file.ts';
import { type ReadingsSource, sourceFrom } from '../verbs/learn.ts';
import { THE_BOOK } from './ask-clay.ts';
import type { Ports } from './ports.ts';

/** Files of readings, each as a source. Refuses: as reading a file and its reader do */
export async function sourcesFromFiles(
  { files, readers }: Ports,
  paths: readonly string[],
  basis: Basis,
): Promise<readonly ReadingsSource[]> {
  const sources: ReadingsSource[] = [];
  for (const path of paths) {
    const bytes = await files.read(path);
    sources.push({ name: path, sha256: sha256Of(bytes), ...readers.readings(bytes, path, basis) });
  }
  return sources;
}

/** The readings of a book; of those left out a note says why. */
export async function sourceFromBook(
  books: BookAccess,
  folder: string,
  basis?: Basis,
): Promise<ReadingsSource> {
  const { readings, leftAside, notes } = await books.lookAt(folder, (book) =>
    readingsOfBook(book, basis),
  );
  return sourceFrom(
    THE_BOOK,
    readings.map(({ reading }) => reading),
    [
      ...notes,
      ...leftAside.map(({ recordId, why }) => `The reading ${recordId} is left out: ${why}`),
    ],
  );
}

/**
 * A slip in the order of names must not cost the user readings, which cannot be made again.
 * Refuses: an output that is one of the readings or another kind of file -> out-not-free (conflict)
 */
export async function checkOut(
  { files }: Ports,
  readings: readonly string[],
  out: string,
): Promise<void> {
  const target = await files.look(out);
  for (const path of readings) {
    const { identity } = await files.look(path);
    if (identity === target.identity && target.kind === 'file') {
      throw notFree(out, 'is one of the readings');
    }
  }
  if (target.kind !== 'file') return;
  const before = await files.read(out);
  const head = new TextDecoder().decode(before.subarray(0, 200));
  if (before.length > 0 && !head.includes(`"${CLAY_FORMAT}"`)) {
    throw notFree(out, 'is there already and is no clay model');
  }
}

function notFree(out: string, why: string): AppError {
  return new AppError({
    code: 'out-not-free',
    kind: 'conflict',
    detail: `${out} ${why}; it would be lost.`,
    hint: 'Give --out another name.',
  });
}
