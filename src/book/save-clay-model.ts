import { clayKey } from '../core/notation/notation.ts';
import { clayFileFromBytes } from '../domain/clay-file-codec.ts';
import { hashOfReading } from '../domain/hash-of-reading.ts';
import { newestModelOf } from '../domain/newest-model.ts';
import type { BodyOf } from '../domain/records/record.ts';
import { allRecords } from './all-records.ts';
import type { Book, Changed } from './book.ts';
import { readingsOfBook } from './readings-of-book.ts';
import { bytesOf, saveClayModel } from './save-file.ts';
import { joinEarlier } from './share/join-model.ts';

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
  return saveLearnedModel(book, bytes, body, `Learned how ${clays.length} clays mix`);
}

/**
 * Saves a model that was just learned. Clays of others that the model before held, from share files, stay
 * behind the own ones, as far as a clay in both still says how the two compare.
 */
export async function saveLearnedModel(
  book: Book,
  bytes: Uint8Array,
  body: Omit<BodyOf<'clay-model'>, 'sha256' | 'bytes'>,
  what: string,
): Promise<Changed> {
  const { store } = book.ports;
  const taken = (await allRecords(store, 'collection')).some(
    (one) => one.kind === 'collection' && one.body.sharedBy !== undefined,
  );
  const record = taken ? newestModelOf(await allRecords(store, 'clay-model')) : undefined;
  const joined =
    record === undefined
      ? undefined
      : joinEarlier({ record, bytes: await bytesOf(book, record) }, { record: { body }, bytes });
  return saveClayModel(book, joined?.bytes ?? bytes, joined?.body ?? body, what);
}
