import { AppError } from '../core/errors.ts';
import { canonicalJson } from '../domain/canonical-json.ts';
import type { BookStep } from '../domain/records/change.ts';
import { MOST_STEPS } from '../domain/records/change.ts';
import type { BookRecord } from '../domain/records/record.ts';
import { allRecords } from './all-records.ts';
import type { Book, Changed } from './book.ts';
import { changeBook } from './change-book.ts';
import { importRecords } from './import-records.ts';

export interface DemoState {
  /** The book is empty, so the invented studio may move in without mixing with anything. */
  readonly offered: boolean;
  /** Records of it that are in the book now. */
  readonly inside: number;
  /** The user's own records that need a demo record and would be removed with it: mixes of demo clays, tiles of those mixes. */
  readonly leaning: number;
}

/** A book with only these kinds of record, which hold display choices, still counts as empty. */
const OF_NO_ACCOUNT: readonly string[] = ['settings', 'collection'];

export async function demoState(book: Book, demo: readonly BookRecord[]): Promise<DemoState> {
  const { store } = book.ports;
  const counts = await store.counts();
  const offered = [...counts].every(
    ([kind, { live }]) => live === 0 || OF_NO_ACCOUNT.includes(kind),
  );
  if (offered) return { offered, inside: 0, leaning: 0 };
  const inside = await insideOf(book, demo);
  if (inside.length === 0) return { offered, inside: 0, leaning: 0 };
  const all = await withLeaning(book, inside);
  const here = new Set(inside);
  // Clay models learned from demo clays go too, but the user did not make them and they are quickly learned again.
  const leaning = all.filter((record) => !here.has(record) && record.kind !== 'clay-model');
  return { offered, inside: inside.length, leaning: leaning.length };
}

/**
 * The invented studio moves into an empty book, as one change.
 * Refuses: a book with anything in it -> book-not-empty (conflict): what is invented is never mixed into
 *          what is real
 */
export async function moveDemoIn(
  book: Book,
  demo: readonly BookRecord[],
  by?: string,
): Promise<Changed> {
  const { offered } = await demoState(book, demo);
  if (!offered) throw notEmpty();
  const { records: settings } = await book.ports.store.list({
    kind: 'settings',
    sort: 'created',
    descending: false,
    limit: 1,
  });
  const records = demo.filter(({ kind }) => kind !== 'settings' || settings.length === 0);
  const { changed } = await importRecords(book, {
    records,
    files: [],
    what: 'The invented studio moved in',
    // The demo records may still be in the book as deleted records from an earlier time.
    replace: true,
    ...(by === undefined ? {} : { by }),
  });
  return changed!;
}

/**
 * The invented studio goes to the bin, and with it what cannot do without it; one change, that can be
 * undone.
 * Refuses: none of it is there -> no-demo-here (not-found)
 */
export async function clearDemoOut(
  book: Book,
  demo: readonly BookRecord[],
  by?: string,
): Promise<Changed> {
  const inside = await insideOf(book, demo);
  if (inside.length === 0) throw noDemo();
  const all = await withLeaning(book, inside);
  if (all.length > MOST_STEPS) throw tooMuch(all.length);
  return changeBook(book, {
    what: 'Cleared the invented studio out',
    steps: all.map(({ id, version }): BookStep => ({ do: 'delete', id, version })),
    ...(by === undefined ? {} : { by }),
  });
}

/** Live records of the demo; its settings only while nobody changed them. */
async function insideOf(book: Book, demo: readonly BookRecord[]): Promise<readonly BookRecord[]> {
  const found = await book.ports.store.getMany(demo.map(({ id }) => id));
  return demo.flatMap((record) => {
    const here = found.get(record.id);
    if (here === undefined || here.deletedAt !== undefined || here.kind !== record.kind) return [];
    // The user may have started a line or a drawer with the same name; that record does not belong to the demo.
    if (here.createdAt !== record.createdAt) return [];
    if (here.kind === 'settings' && canonicalJson(here.body) !== canonicalJson(record.body)) {
      return [];
    }
    return [here];
  });
}

/** These, what needs them by however many steps, and clay models that know any of their clays. */
async function withLeaning(
  book: Book,
  inside: readonly BookRecord[],
): Promise<readonly BookRecord[]> {
  const { store } = book.ports;
  const all = new Map(inside.map((record) => [record.id, record]));
  for (let edge = [...all.keys()]; edge.length > 0; ) {
    const users = new Set((await store.usersOf(edge)).map(({ fromId }) => fromId));
    const fresh = [...users].filter((id) => !all.has(id));
    for (const [id, record] of await store.getMany(fresh)) all.set(id, record);
    edge = fresh;
  }
  for (const record of await allRecords(store, 'clay-model')) {
    if (record.kind !== 'clay-model' || record.deletedAt !== undefined) continue;
    const knows = record.body.clays.some(({ blockId }) => all.has(blockId ?? ''));
    if (knows) all.set(record.id, record);
  }
  return [...all.values()];
}

function notEmpty(): AppError {
  return new AppError({
    code: 'book-not-empty',
    kind: 'conflict',
    detail:
      'There is something in this book already, and the invented studio is not mixed into it.',
    hint: 'See it in a book of its own with "kneadwell demo".',
  });
}

function noDemo(): AppError {
  return new AppError({
    code: 'no-demo-here',
    kind: 'not-found',
    detail: 'Nothing of the invented studio is in this book.',
    hint: 'There is nothing to clear out.',
  });
}

function tooMuch(count: number): AppError {
  return new AppError({
    code: 'too-much-leans',
    kind: 'conflict',
    detail: `${count} things hang on the invented studio, more than go to the bin at once.`,
    hint: 'DeletedRecords some of the mixes made of its clays first.',
  });
}
