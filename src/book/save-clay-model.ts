import { parentKey } from '../core/notation/notation.ts';
import { canonicalJson, sha256Of } from '../domain/canonical-json.ts';
import { clayFileFromBytes } from '../domain/clay-file-codec.ts';
import type { Book, Changed } from './book.ts';
import { keepClayModel } from './save-file.ts';
import { readingsOfBook } from './readings-of-book.ts';

export interface LearntFile {
  readonly bytes: Uint8Array;
  readonly name: string;
  /** Her own day. */
  readonly learntOn: string;
}

/**
 * Keeps a clay file that was learnt elsewhere from readings of this book, with the blocks its clays are
 * and the readings it was learnt from, as far as the book still has them.
 * Refuses: what is no clay file, as `clayFileFromBytes`; what `changeBook` refuses
 */
export async function keepLearnt(
  book: Book,
  { bytes, name, learntOn }: LearntFile,
): Promise<Changed> {
  const file = clayFileFromBytes(bytes, name);
  const { readings, blocks } = await readingsOfBook(book);
  const blockOf = new Map([...blocks].map(([named, id]) => [parentKey(named), id]));
  const recordsOf = new Map<string, string[]>();
  for (const { recordId, reading } of readings) {
    // As `learn` takes them: the same reading wherever it stands.
    const { place: _, ...said } = reading;
    const hash = sha256Of(canonicalJson(said));
    recordsOf.set(hash, [...(recordsOf.get(hash) ?? []), recordId]);
  }
  const learntFrom = file.readings.hashes.flatMap((hash) => {
    const readingId = recordsOf.get(hash)?.shift();
    return readingId === undefined ? [] : [{ readingId, hash }];
  });
  const parents = file.parents.map((parent) => {
    const blockId = blockOf.get(parentKey(parent.name));
    return { name: parent.name, ...(blockId === undefined ? {} : { blockId }) };
  });
  const body = { name, learntOn, basis: file.basis, parents, learntFrom };
  return keepClayModel(book, bytes, body, `Learnt how ${parents.length} clays mix`);
}
