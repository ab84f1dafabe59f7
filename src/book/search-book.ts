import type { BookRecord } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import type { ColourFound, ColourQuery } from './colour-index.ts';
import type { TextQuery } from './word-search.ts';

export interface Searched {
  readonly records: readonly BookRecord[];
  readonly total: number;
}

/**
 * Records by words of their code, name, tags, notes, line, box and the colour they show; every word must
 * be there.
 */
export async function searchBook(book: Book, query: TextQuery): Promise<Searched> {
  await book.index.current();
  await book.predicted.settled();
  const { ids, total } = book.index.words.find(query);
  const found = await book.ports.store.getMany(ids);
  return { records: ids.flatMap((id) => found.get(id) ?? []), total };
}

export interface NearInBook extends ColourFound {
  readonly record: BookRecord;
}

/** Blocks, mixes and tiles whose shown colour is closest to one, by CIEDE2000, each once. */
export async function nearestInBook(
  book: Book,
  query: ColourQuery,
): Promise<readonly NearInBook[]> {
  await book.index.current();
  await book.predicted.settled();
  const near = book.index.nearest(query);
  const found = await book.ports.store.getMany(near.map(({ id }) => id));
  return near.flatMap((one) => {
    const record = found.get(one.id);
    return record === undefined ? [] : [{ ...one, record }];
  });
}
