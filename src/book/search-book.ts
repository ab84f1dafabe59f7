import type { BookRecord } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import type { TextQuery } from './book-index.ts';
import type { ColourFound, ColourQuery } from './colour-index.ts';

export interface Searched {
  readonly records: readonly BookRecord[];
  readonly total: number;
}

/** Records by words of their code, name, tags, line, notes and colours; every word must be there. */
export async function searchBook(book: Book, query: TextQuery): Promise<Searched> {
  await book.index.ready;
  const { ids, total } = book.index.find(query);
  const found = await book.ports.store.getMany(ids);
  return { records: ids.flatMap((id) => found.get(id) ?? []), total };
}

export interface NearInBook extends ColourFound {
  readonly record: BookRecord;
}

/** Blocks, mixes and tiles whose colour lies nearest to one, by CIEDE2000, each once. */
export async function nearestInBook(
  book: Book,
  query: ColourQuery,
): Promise<readonly NearInBook[]> {
  await book.index.ready;
  const near = book.index.nearest(query);
  const found = await book.ports.store.getMany(near.map(({ id }) => id));
  return near.flatMap((one) => {
    const record = found.get(one.id);
    return record === undefined ? [] : [{ ...one, record }];
  });
}
