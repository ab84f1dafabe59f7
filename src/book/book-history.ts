import type { JournalEntry, JournalGroup } from '../domain/records/change.ts';
import type { BookKind, BookRecord } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import { notInBook } from './errors.ts';

export interface HistoryStep {
  readonly group: JournalGroup;
  readonly before?: BookRecord;
  readonly after?: BookRecord;
}

/** What was done to one record, newest first. Refuses: never heard of -> not-in-book (not-found) */
export async function historyOf(
  book: Book,
  id: string,
  page: { readonly before?: number; readonly limit: number },
): Promise<readonly HistoryStep[]> {
  const { store } = book.ports;
  const entries = await store.history(id, page.before, page.limit);
  if (entries.length === 0 && page.before === undefined) throw notInBook(id);
  return Promise.all(
    entries.map(async ({ seq, before, after }) => ({
      group: (await store.group(seq))!,
      ...(before === undefined ? {} : { before }),
      ...(after === undefined ? {} : { after }),
    })),
  );
}

/** Changes of the whole book, newest first. */
export function changesOf(
  book: Book,
  page: { readonly before?: number; readonly limit: number },
): Promise<readonly JournalGroup[]> {
  const { before, limit } = page;
  return book.ports.store.groups(before === undefined ? {} : { before }, limit);
}

/** One change, as a page that shows the book gets it. */
export interface FeedItem {
  readonly group: JournalGroup;
  readonly records: readonly {
    readonly kind: BookKind;
    readonly id: string;
    /** Absent: gone for good. */
    readonly version?: number;
    readonly deleted?: boolean;
  }[];
}

/** What a page missed since the change it saw last, oldest first; then `book.listen` goes on. */
export async function changesAfter(
  book: Book,
  seq: number,
  limit: number,
): Promise<readonly FeedItem[]> {
  const { store } = book.ports;
  const groups = await store.groups({ after: seq }, limit);
  return Promise.all(
    groups.map(async (group) => ({
      group,
      records: (await store.entries(group.seq)).map(feedRecord),
    })),
  );
}

function feedRecord({ kind, id, after }: JournalEntry): FeedItem['records'][number] {
  if (after === undefined) return { kind, id };
  return { kind, id, version: after.version, deleted: after.deletedAt !== undefined };
}
