import type { JournalGroup } from '../domain/records/change.ts';
import type { Book } from './book.ts';
import type { ListPlace, StoredPage } from './ports.ts';

export interface Emptied {
  /** Absent where the bin was empty. */
  readonly group?: JournalGroup;
  readonly records: number;
  /** Kept files nothing names any more, removed. */
  readonly files: number;
}

/** Rows looked at in one go. */
const PAGE = 500;

/**
 * Empties the bin. The one way in which anything is lost for good: records, what the journal said of
 * them, and photos nobody else names.
 */
export async function purgeDeleted(book: Book, by?: string): Promise<Emptied> {
  const { store, files, nowEpochMs } = book.ports;
  const emptied = await store.transact(async (writes) => {
    const ids: string[] = [];
    const shas: string[] = [];
    let after: ListPlace | undefined;
    do {
      const page: StoredPage = await writes.list({
        bin: true,
        sort: 'created',
        descending: false,
        limit: PAGE,
        ...(after === undefined ? {} : { after }),
      });
      for (const record of page.records) {
        ids.push(record.id);
        if (record.kind === 'photo' || record.kind === 'clay-model') shas.push(record.body.sha256);
      }
      after = page.next;
    } while (after !== undefined);
    if (ids.length === 0) return undefined;
    const seq = await writes.addGroup({
      at: new Date(nowEpochMs()).toISOString(),
      what: `Emptied the bin of ${ids.length} ${ids.length === 1 ? 'record' : 'records'}`,
      sort: 'empty',
      records: ids.length,
      ...(by === undefined ? {} : { by }),
    });
    await writes.erase(seq, ids);
    return { group: (await writes.group(seq))!, ids, shas };
  });
  if (emptied === undefined) return { records: 0, files: 0 };
  const { group, ids, shas } = emptied;
  book.tell({ group, rows: [], gone: ids });
  // After the records are gone on the disk: a crash here leaves a file too many, never one too few.
  const still = await namedFiles(book);
  const loose = [...new Set(shas)].filter((sha) => !still.has(sha) && !book.coming.has(sha));
  for (const sha of loose) await files.remove(sha);
  return { group, records: ids.length, files: loose.length };
}

/** Checksums of all kept files a record names, the bin too. */
export async function namedFiles({ ports }: Book): Promise<ReadonlySet<string>> {
  const shas = new Set<string>();
  for (const kind of ['photo', 'clay-model'] as const) {
    for (let after: string | undefined = ''; after !== undefined; ) {
      const rows = await ports.store.rows(after, PAGE, kind);
      for (const { record } of rows) {
        if (record.kind === kind) shas.add((record.body as { sha256: string }).sha256);
      }
      after = rows.length < PAGE ? undefined : rows.at(-1)?.record.id;
    }
  }
  return shas;
}
