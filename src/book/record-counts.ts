import type { BookKind } from '../domain/records/record.ts';
import type { BookReads } from './ports.ts';

/** What a book holds, as one tells two of them apart. */
export interface RecordCounts {
  readonly counts: readonly { readonly kind: BookKind; readonly live: number }[];
  /** The name the user gave the studio in the settings. */
  readonly studio?: string;
  /** Number and moment of the newest change; absent in a book nobody wrote in yet. */
  readonly newest?: { readonly seq: number; readonly at: string; readonly what: string };
}

export async function recordCountsOf(store: BookReads): Promise<RecordCounts> {
  const counts = [...(await store.counts())].map(([kind, { live }]) => ({ kind, live }));
  const { records } = await store.list({
    kind: 'settings',
    sort: 'created',
    descending: false,
    limit: 1,
  });
  const [settings] = records;
  const studio = settings?.kind === 'settings' ? settings.body.studio : undefined;
  const [newest] = await store.groups({}, 1);
  return {
    counts: counts.filter(({ live }) => live > 0),
    ...(studio === undefined ? {} : { studio }),
    ...(newest === undefined
      ? {}
      : { newest: { seq: newest.seq, at: newest.at, what: newest.what } }),
  };
}

/**
 * How many changes of a book an older copy of it lacks; undefined where the two are not one book.
 * Holds:   they are one where the journal has the copy's newest change at the same moment
 */
export async function changesLacking(
  store: BookReads,
  copy: Pick<RecordCounts, 'newest'>,
): Promise<number | undefined> {
  if (copy.newest === undefined) return undefined;
  const here = await store.group(copy.newest.seq);
  if (here === undefined || here.at !== copy.newest.at) return undefined;
  return (await store.lastSeq()) - copy.newest.seq;
}
