import { AppError } from '../../core/errors.ts';
import type { BookChange, BookStep } from '../../domain/records/change.ts';
import type { BookRecord } from '../../domain/records/record.ts';
import { client } from './client.ts';
import { fieldToCheck } from './field-to-check.ts';
import { refreshLists } from './lists-open.ts';
import { showNotice } from './notice.ts';
import { BOOK_DEPENDENT_KEYS, queries } from './queries.ts';

interface SentChange {
  readonly change: BookChange;
  readonly key: string;
}

/**
 * Changes that were sent and never answered. The book may have made them, so the same change is sent
 * again under the same key and is made once.
 */
const unanswered = new Map<string, SentChange>();
const MOST_UNANSWERED = 50;
const idsMade = new Set<string>();

/**
 * Makes one change of the book, shows a notice and offers to undo it.
 * Refuses: as the book does; the caller keeps what the user typed. Without an answer nothing is saved:
 *          not-kept-yet (unavailable)
 */
export async function sendChange(
  what: string,
  steps: readonly BookStep[],
): Promise<readonly BookRecord[]> {
  const does = whatItDoes({ what, steps });
  const sent = unanswered.get(does) ?? { change: { what, steps }, key: newKey() };
  let body: Awaited<ReturnType<typeof send>>['body'];
  try {
    body = (await send(sent)).body;
    unanswered.delete(does);
  } catch (fault) {
    if (!(fault instanceof AppError && fault.retry)) {
      unanswered.delete(does);
      throw fault;
    }
    if (unanswered.size >= MOST_UNANSWERED) unanswered.clear();
    unanswered.set(does, sent);
    throw fault.code === 'server-away' ? notSavedYet(fault) : fault;
  }
  return changeNotice(what, body);
}

/** After a change: fetches what it touched again, shows a notice and offers to undo it. */
export async function changeNotice(
  what: string,
  {
    records,
    group,
  }: { readonly records: readonly BookRecord[]; readonly group: { readonly seq: number } },
): Promise<readonly BookRecord[]> {
  for (const record of records) queries.setQueryData(['record', record.id], record);
  await refetch(records);
  showNotice({ text: what, undo: group.seq });
  return records;
}

function send({ change, key }: SentChange) {
  return client.call('makeChange', { body: change }, { key });
}

/** A key for what a change does, the same whatever new ids were drawn. */
function whatItDoes(change: {
  readonly what: string;
  readonly steps: readonly BookStep[];
}): string {
  const seen = new Map<string, string>();
  return JSON.stringify(change, (_, value: unknown) => {
    if (typeof value !== 'string' || !idsMade.has(value)) return value;
    if (!seen.has(value)) seen.set(value, `made ${seen.size}`);
    return seen.get(value);
  });
}

function newKey(): string {
  return crypto.randomUUID?.() ?? `${Date.now()}-${Math.random()}`;
}

function notSavedYet(cause: AppError): AppError {
  return new AppError({
    code: 'not-kept-yet',
    kind: 'unavailable',
    detail: 'Not saved: Kneadwell is not running.',
    hint: 'Your text stays here. Start Kneadwell, then press Save again; it will not be saved twice.',
    retry: true,
    cause,
  });
}

export async function undoChange(seq?: number): Promise<void> {
  try {
    const { body } = await client.call('undo', { body: seq === undefined ? {} : { seq } });
    refreshLists();
    await queries.invalidateQueries();
    const root = body.group.root ?? seq;
    showNotice({
      text: `Undone: ${plainWhat(body.group.what)}`,
      ...(root === undefined ? {} : { redo: root }),
    });
  } catch (fault) {
    showNotice({ text: wordsOf(fault) });
  }
}

export async function redoChange(seq: number): Promise<void> {
  try {
    const { body } = await client.call('redo', { body: { seq } });
    refreshLists();
    await queries.invalidateQueries();
    showNotice({ text: `Redone: ${plainWhat(body.group.what)}`, undo: seq });
  } catch (fault) {
    showNotice({ text: wordsOf(fault) });
  }
}

/** An error as one line: what happened, and what to do. */
export function wordsOf(fault: unknown): string {
  if (fault instanceof AppError)
    return issueAnswer(fault) ?? `${fault.detail} ${fault.hint}`.trim();
  return fault instanceof Error ? fault.message : String(fault);
}

function issueAnswer({ code, more }: AppError): string | undefined {
  if (code !== 'does-not-fit') return undefined;
  const [first] =
    (more as { fields?: readonly { pointer: string; detail: string }[] } | undefined)?.fields ?? [];
  const field = first?.pointer.match(/\/([a-z]+)$/i)?.[1];
  if (first === undefined || field === undefined) return undefined;
  return fieldToCheck(field, first.detail);
}

/** A new id; the book takes any that is free. */
export function newId(kind: string): string {
  const random = crypto.getRandomValues(new Uint8Array(9));
  const letters = Array.from(random, (v) => (v % 36).toString(36)).join('');
  const id = `${kind}-${letters}`;
  idsMade.add(id);
  return id;
}

function plainWhat(what: string): string {
  return what.replace(/^(?:Undid|Redid): ?/i, '');
}

async function refetch(records: readonly BookRecord[]): Promise<void> {
  refreshLists();
  const kinds = new Set(records.map(({ kind }) => kind));
  await Promise.all([
    ...[...kinds].map((kind) => queries.invalidateQueries({ queryKey: ['all', kind] })),
    ...BOOK_DEPENDENT_KEYS.map((key) => queries.invalidateQueries({ queryKey: [key] })),
  ]);
}
