import type { BookKind, BookRecord } from '../domain/records/record.ts';
import type { BookReads, BookRow } from './ports.ts';

const PAGE = 500;

/** Every record of a book, the bin too, by id; or those of one kind. */
export async function allRecords(
  store: Pick<BookReads, 'rows'>,
  kind?: BookKind,
): Promise<readonly BookRecord[]> {
  const records: BookRecord[] = [];
  for (let after: string | undefined = ''; after !== undefined; ) {
    const rows: readonly BookRow[] = await store.rows(after, PAGE, kind);
    for (const { record } of rows) records.push(record);
    after = rows.length < PAGE ? undefined : rows.at(-1)?.record.id;
  }
  return records;
}
