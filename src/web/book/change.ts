import { AppError } from '../../core/errors.ts';
import type { BookChange, BookStep } from '../../domain/records/change.ts';
import type { BodyOf, BookKind, BookRecord } from '../../domain/records/record.ts';
import { client } from './client.ts';
import { refreshLists } from './lists-open.ts';
import { showNotice } from './notice.ts';
import { HANG_ON_BOOK, queries } from './queries.ts';

interface SentChange {
  readonly change: BookChange;
  readonly key: string;
}

/**
 * Changes that were sent and never answered, by what they do. They may have been done all the same, so
 * what is asked again in the same words is sent again under the same key, and done once.
 */
const unanswered = new Map<string, SentChange>();
const MOST_UNANSWERED = 50;
const idsMade = new Set<string>();

/**
 * Does one change of the book, says so at the foot of the page and offers to take it back.
 * Refuses: as the book does, having told it; the caller keeps what she typed. Without an answer of the
 *          book nothing is kept in its place: not-kept-yet (unavailable)
 */
export async function changeBook(
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

/** A change that was done: the page looks anew at what it touched, and offers to take it back. */
export async function changeNotice(
  what: string,
  {
    records,
    group,
  }: { readonly records: readonly BookRecord[]; readonly group: { readonly seq: number } },
): Promise<readonly BookRecord[]> {
  for (const record of records) queries.setQueryData(['record', record.id], record);
  await lookAnew(records);
  showNotice({ text: what, undo: group.seq });
  return records;
}

function send({ change, key }: SentChange) {
  return client.call('makeChange', { body: change }, { key });
}

/** The words of a change, whatever ids were drawn for what it makes. */
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
      text: `Imported back: ${plainWhat(body.group.what)}`,
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
    showNotice({ text: `Done again: ${plainWhat(body.group.what)}`, undo: seq });
  } catch (fault) {
    showNotice({ text: wordsOf(fault) });
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
  if (fault instanceof AppError)
    return issueAnswer(fault) ?? `${fault.detail} ${fault.hint}`.trim();
  return fault instanceof Error ? fault.message : String(fault);
}

/**
 * What she typed and the book could not take, by the name of the field; a pointer into what was sent
 * (RFC 6901) tells her nothing.
 */
function issueAnswer({ code, more }: AppError): string | undefined {
  if (code !== 'does-not-fit') return undefined;
  const [first] =
    (more as { fields?: readonly { pointer: string; detail: string }[] } | undefined)?.fields ?? [];
  const field = first?.pointer.match(/\/([a-z]+)$/i)?.[1];
  if (first === undefined || field === undefined) return undefined;
  const words = field.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return `Something in “${words}” cannot stand as it is: ${first.detail}.`;
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
  return what.replace(/^(?:Undid|Redid|Took back|Did again): ?/i, '');
}

async function lookAnew(records: readonly BookRecord[]): Promise<void> {
  refreshLists();
  const kinds = new Set(records.map(({ kind }) => kind));
  await Promise.all([
    ...[...kinds].map((kind) => queries.invalidateQueries({ queryKey: ['all', kind] })),
    ...HANG_ON_BOOK.map((key) => queries.invalidateQueries({ queryKey: [key] })),
  ]);
}
