import { QueryClient, replaceEqualDeep, useQuery } from '@tanstack/react-query';
import { AppError } from '../../core/errors.ts';
import { ofKind } from '../../domain/records/of-kind.ts';
import type { BookKind, BookRecord, RecordOf } from '../../domain/records/record.ts';
import { client } from './client.ts';

/** Nothing is fetched again just for its age: the book reports its changes (follow-book.ts). */
export const queries = new QueryClient({
  defaultOptions: {
    queries: {
      staleTime: Number.POSITIVE_INFINITY,
      refetchOnWindowFocus: false,
      // The book is on this machine or at home; whether there is a network beyond does not matter.
      networkMode: 'always',
      retry: (tries, fault) => tries < 2 && fault instanceof AppError && fault.retry,
    },
  },
});

/** First words of the keys that depend on many records and are fetched again after every change. */
export const BOOK_DEPENDENT_KEYS = [
  'counts',
  'mixes',
  'tiles',
  'colours',
  'samples',
  'changes',
  'history',
  'stock',
  'near',
  'tags',
  'words',
] as const;

const PAGE = 500;
/** Most records of one kind that a screen holds at once. */
export const MOST_HELD = 20_000;

export interface LoadedRecords<K extends BookKind> {
  readonly records: readonly RecordOf<K>[];
  readonly byId: ReadonlyMap<string, RecordOf<K>>;
  /** Of all, held or not. */
  readonly total: number;
}

async function allOf<K extends BookKind>(kind: K): Promise<LoadedRecords<K>> {
  const records: RecordOf<K>[] = [];
  let cursor: string | undefined;
  let total = 0;
  do {
    const { body } = await client.call('listRecords', {
      query: { kind, sort: 'name', limit: PAGE, ...(cursor === undefined ? {} : { cursor }) },
    });
    records.push(...ofKind(body.records, kind));
    cursor = body.cursor;
    total = body.total;
  } while (cursor !== undefined && records.length < MOST_HELD);
  return { records, byId: new Map(records.map((record) => [record.id, record])), total };
}

export function allQuery<K extends BookKind>(kind: K) {
  return {
    queryKey: ['all', kind],
    queryFn: () => allOf(kind),
    // An equal answer must not make anything that depends on it run or render again.
    structuralSharing: (before: unknown, now: unknown) =>
      unchanged(before, now as LoadedRecords<K>),
  };
}

/** Keeps the objects that did not change, so that only changed records are new. */
function unchanged<K extends BookKind>(before: unknown, now: LoadedRecords<K>): LoadedRecords<K> {
  const held = before as LoadedRecords<K> | undefined;
  if (held === undefined) return now;
  const records = replaceEqualDeep(held.records, now.records);
  if (records === held.records && held.total === now.total) return held;
  return { ...now, records, byId: new Map(records.map((record) => [record.id, record])) };
}

/** Starts to fetch these kinds while the script of the screen is still loading. */
export function fetchEarly(...kinds: readonly BookKind[]): void {
  for (const kind of kinds) void queries.prefetchQuery(allQuery(kind));
}

const NONE: LoadedRecords<never> = { records: [], byId: new Map(), total: 0 };

/** All live records of a kind, by name. */
export function useAll<K extends BookKind>(
  kind: K,
): LoadedRecords<K> & { readonly isPending: boolean } {
  const { data, isPending, error } = useQuery(allQuery(kind));
  if (error !== null && data === undefined) throw error;
  return { ...(data ?? (NONE as LoadedRecords<K>)), isPending };
}

/** One record; none where there is no id. */
export function useRecord(id: string | undefined): {
  readonly record: BookRecord | undefined;
  readonly isPending: boolean;
  readonly error: Error | null;
} {
  const { data, isPending, error } = useQuery({
    ...recordQuery(id ?? ''),
    enabled: id !== undefined,
  });
  return { record: data, isPending, error };
}

/** Whether a record that was made on this screen was taken back since. */
export function useTakenBack(id: string | undefined): boolean {
  const { record, error } = useRecord(id);
  return id !== undefined && (error !== null || record?.deletedAt !== undefined);
}

/** One record, live or deleted. */
export function recordQuery(id: string) {
  return {
    queryKey: ['record', id],
    queryFn: async () => (await client.call('getRecord', { params: { id } })).body,
  };
}

/** Records by id, from what the page has already where it has them; a missing one is left out. */
export async function getMany(ids: readonly string[]): Promise<ReadonlyMap<string, BookRecord>> {
  const blocks = await queries.fetchQuery(allQuery('block'));
  const lines = await queries.fetchQuery(allQuery('line'));
  const found = await Promise.all(
    ids.map(
      (id) =>
        blocks.byId.get(id) ??
        lines.byId.get(id) ??
        queries.fetchQuery(recordQuery(id)).catch((fault: unknown) => {
          if (fault instanceof AppError && fault.kind === 'not-found') return undefined;
          throw fault;
        }),
    ),
  );
  return new Map(found.flatMap((record) => (record === undefined ? [] : [[record.id, record]])));
}
