import { AppError } from '../core/errors.ts';
import { itemAt } from '../core/numeric/pairs.ts';
import { canonicalJson } from '../domain/canonical-json.ts';
import { titleOf } from '../domain/index-fields.ts';
import type { JournalEntry, JournalGroup } from '../domain/records/change.ts';
import type { BookRecord } from '../domain/records/record.ts';
import type { Book, Changed } from './book.ts';
import { commitRows, type RowChange } from './commit-rows.ts';
import type { BookReads, BookWrites } from './ports.ts';

export interface TurnCall {
  /** Which change; the newest that can be turned when absent. */
  readonly seq?: number;
  readonly by?: string;
}

/**
 * Takes a change back, by a change of its own: what it made goes to the bin, what it changed gets its
 * older body under a newer version.
 * Refuses: nothing to undo -> nothing-to-undo (not-found); a record that was changed since -> changed-since
 *          (conflict), naming that change; emptied from the bin since -> gone-for-good (conflict); what
 *          `commitRows` refuses
 */
export function undoInBook(book: Book, call: TurnCall = {}): Promise<Changed> {
  return turn(book, call, 'undone');
}

/** Does a change again that was undone. Refuses as `undoChange`, nothing-to-redo (not-found) */
export function redoInBook(book: Book, call: TurnCall = {}): Promise<Changed> {
  return turn(book, call, 'done');
}

async function turn(book: Book, call: TurnCall, to: 'undone' | 'done'): Promise<Changed> {
  const { store, nowEpochMs } = book.ports;
  const { group, rows } = await store.transact(async (writes) => {
    const root = await rootOf(writes, call.seq, to);
    const at = new Date(nowEpochMs()).toISOString();
    const entries = await writes.entries(root.head);
    const current = await writes.getMany(entries.map(({ id }) => id));
    const changes: RowChange[] = [];
    for (const entry of entries.toReversed()) {
      changes.push(await inverse(writes, entry, current.get(entry.id), at));
    }
    const seq = await writes.addGroup({
      at,
      what: `${to === 'undone' ? 'Undid' : 'Redid'}: ${root.what}`,
      sort: to === 'undone' ? 'undo' : 'redo',
      root: root.seq,
      records: changes.length,
      ...(call.by === undefined ? {} : { by: call.by }),
    });
    const written = await commitRows(writes, seq, changes);
    await writes.turn(root.seq, to, seq);
    return { group: (await writes.group(seq))!, rows: written };
  });
  book.tell({ group, rows, gone: [] });
  return { group, records: rows.map(({ after }) => after), repeated: false };
}

async function rootOf(
  writes: BookWrites,
  seq: number | undefined,
  to: 'undone' | 'done',
): Promise<JournalGroup> {
  const verb = to === 'undone' ? 'undo' : 'redo';
  const asked =
    seq === undefined
      ? await (to === 'undone' ? writes.undoable() : writes.redoable())
      : await writes.group(seq);
  const root = asked?.root === undefined ? asked : await writes.group(asked.root);
  if (root === undefined) {
    throw new AppError({
      code: `nothing-to-${verb}`,
      kind: 'not-found',
      detail: seq === undefined ? `There is nothing to ${verb}.` : `There is no change ${seq}.`,
      hint: 'The history lists the changes with their numbers.',
    });
  }
  if (root.state === 'settled') throw goneForGood(root);
  if (root.state === to) {
    throw new AppError({
      code: `nothing-to-${verb}`,
      kind: 'conflict',
      detail: `"${root.what}" ${to === 'undone' ? 'is undone already' : 'holds already'}.`,
      hint: `Look at the history, and name the change to ${verb}.`,
      more: { seq: root.seq },
    });
  }
  return root;
}

async function inverse(
  reads: BookReads,
  { id, before, after }: JournalEntry,
  current: BookRecord | undefined,
  at: string,
): Promise<RowChange> {
  if (after === undefined || current === undefined) {
    throw new TypeError(`the journal lost what was done to ${id}`);
  }
  if (!sameSaying(current, after)) throw await changedSince(reads, current);
  const version = current.version + 1;
  const next: BookRecord =
    before === undefined
      ? { ...current, version, changedAt: at, deletedAt: at }
      : { ...before, version, changedAt: at };
  return { before: current, after: next };
}

/**
 * Whether a record says what it said then. Its version may be newer: later changes that were undone
 * leave nothing an older undo could overwrite.
 */
function sameSaying(one: BookRecord, other: BookRecord): boolean {
  return (
    (one.deletedAt === undefined) === (other.deletedAt === undefined) &&
    (one.version === other.version || canonicalJson(one.body) === canonicalJson(other.body))
  );
}

async function changedSince(reads: BookReads, current: BookRecord): Promise<AppError> {
  const newest = itemAt(await reads.history(current.id, undefined, 1), 0);
  const group = (await reads.group(newest.seq))!;
  return new AppError({
    code: 'changed-since',
    kind: 'conflict',
    detail: `After it came "${group.what}"; undoing would lose what that did to ${titleOf(current)}.`,
    hint: `Take that one back first (change ${group.seq}), or change the record by hand.`,
    more: { id: current.id, laterSeq: group.seq, current },
  });
}

function goneForGood(root: JournalGroup): AppError {
  return new AppError({
    code: 'gone-for-good',
    kind: 'conflict',
    detail: `"${root.what}" can no longer be turned: part of it was emptied from the bin, or it was an emptying.`,
    hint: 'A backup from before may still have it.',
    more: { seq: root.seq },
  });
}
