import { clayKey } from '../core/notation/notation.ts';
import { clayFileFromBytes } from '../domain/clay-file-codec.ts';
import { hashOfReading } from '../domain/hash-of-reading.ts';
import type { Book, Changed } from './book.ts';
import { readingsOfBook } from './readings-of-book.ts';
import { saveClayModel } from './save-file.ts';

export interface LearnedFile {
  readonly bytes: Uint8Array;
  readonly name: string;
  /** The day where the user is. */
  readonly learnedOn: string;
}

/**
 * Keeps a clay file that was learned elsewhere from readings of this book, with the blocks its clays are
 * and the readings it was learned from, as far as the book still has them.
 * Refuses: what is no clay file, as `clayFileFromBytes`; what `changeBook` refuses
 */
export async function saveLearned(
  book: Book,
  { bytes, name, learnedOn }: LearnedFile,
): Promise<Changed> {
  const file = clayFileFromBytes(bytes, name);
  const { readings, blocks } = await readingsOfBook(book, file.basis);
  const blockOf = new Map([...blocks].map(([named, id]) => [clayKey(named), id]));
  const recordsOf = new Map<string, string[]>();
  for (const { recordId, reading } of readings) {
    const hash = hashOfReading(reading);
    recordsOf.set(hash, [...(recordsOf.get(hash) ?? []), recordId]);
  }
  const learnedFrom = file.readings.hashes.flatMap((hash) => {
    const readingId = recordsOf.get(hash)?.shift();
    return readingId === undefined ? [] : [{ readingId, hash }];
  });
  const clays = file.clays.map((clay) => {
    const blockId = blockOf.get(clayKey(clay.name));
    return { name: clay.name, ...(blockId === undefined ? {} : { blockId }) };
  });
  const body = { name, learnedOn, basis: file.basis, clays, learnedFrom };
  return saveClayModel(book, bytes, body, `Learned how ${clays.length} clays mix`);
}
