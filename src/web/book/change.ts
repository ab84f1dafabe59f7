import type { BookChange, BookStep } from '../../contract/book/change.ts';
import type { BodyOf, BookKind, BookRecord } from '../../contract/book/record.ts';
import { AppError } from '../../core/errors.ts';
import { client } from './client.ts';
import { queries } from './queries.ts';
import { tell } from './told.ts';

/**
 * Does one change of the book, says so at the foot of the page and offers to take it back.
 * Refuses: as the book does, having told it; the caller keeps what she typed
 */
export async function changeBook(
  what: string,
  steps: readonly BookStep[],
): Promise<readonly BookRecord[]> {
  const { body } = await client.call(
    'makeChange',
    { body: { what, steps } as BookChange as never },
    { key: crypto.randomUUID?.() ?? `${Date.now()}-${Math.random()}` },
  );
  for (const record of body.records as unknown as readonly BookRecord[]) {
    queries.setQueryData(['record', record.id], record);
  }
  await lookAnew(body.records as unknown as readonly BookRecord[]);
  tell({ text: what, undo: body.group.seq });
  return body.records as unknown as readonly BookRecord[];
}

export async function undoChange(seq?: number): Promise<void> {
  try {
    const { body } = await client.call('undo', { body: seq === undefined ? {} : { seq } });
    await queries.invalidateQueries();
    const root = body.group.root ?? seq;
    tell({
      text: `Taken back: ${plainWhat(body.group.what)}`,
      ...(root === undefined ? {} : { redo: root }),
    });
  } catch (fault) {
    tell({ text: wordsOf(fault) });
  }
}

export async function redoChange(seq: number): Promise<void> {
  try {
    const { body } = await client.call('redo', { body: { seq } });
    await queries.invalidateQueries();
    tell({ text: `Done again: ${plainWhat(body.group.what)}`, undo: seq });
  } catch (fault) {
    tell({ text: wordsOf(fault) });
  }
}

/** A step that makes a record of a kind. */
export function make<K extends BookKind>(kind: K, body: BodyOf<K>, id?: string): BookStep {
  return { do: 'put', kind, body, ...(id === undefined ? {} : { id }) } as unknown as BookStep;
}

/** A step that gives a record another body, if nobody changed it since it was seen. */
export function change<K extends BookKind>(
  record: { readonly kind: K; readonly id: string; readonly version: number },
  body: BodyOf<K>,
): BookStep {
  const { kind, id, version } = record;
  return { do: 'put', kind, id, version, body } as unknown as BookStep;
}

/** A fault as one line: what is, and what can be done. */
export function wordsOf(fault: unknown): string {
  if (fault instanceof AppError) return `${fault.detail} ${fault.hint}`.trim();
  return fault instanceof Error ? fault.message : String(fault);
}

/** A new id; the book takes any that is free. */
export function newId(kind: string): string {
  const random = crypto.getRandomValues(new Uint8Array(9));
  const letters = Array.from(random, (v) => (v % 36).toString(36)).join('');
  return `${kind}-${letters}`;
}

function plainWhat(what: string): string {
  return what.replace(/^(?:Undid|Redid|Took back|Did again): ?/i, '');
}

async function lookAnew(records: readonly BookRecord[]): Promise<void> {
  const kinds = new Set(records.map(({ kind }) => kind));
  await Promise.all([
    ...[...kinds].map((kind) => queries.invalidateQueries({ queryKey: ['all', kind] })),
    ...['counts', 'mixes', 'changes', 'history', 'stock', 'near'].map((key) =>
      queries.invalidateQueries({ queryKey: [key] }),
    ),
  ]);
}
