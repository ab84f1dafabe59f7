import { AppError } from '../core/errors.ts';
import type { BookChange, BookStep } from '../domain/records/change.ts';
import type { BookRecord } from '../domain/records/record.ts';
import { SETTINGS_ID } from '../domain/records/settings-id.ts';
import type { Book, Changed } from './book.ts';
import { checkBlockNames } from './check-block-names.ts';
import { commitRows, type RowChange } from './commit-rows.ts';
import { idTaken, notInBook, staleWrite } from './errors.ts';
import type { RowWrite } from './ports.ts';
import { readChange } from './read-change.ts';

/**
 * Changes the book: all steps or none, with one entry in the journal.
 * Refuses: as `readChange`, `checkBlockNames` and `commitRows` do; a version that is not the newest -> stale-write
 *          (conflict), with both; an id that is taken, or not there; a record twice -> twice-in-a-change
 * Holds:   resolved: on the disk. The same key twice changes the book once
 */
export async function changeBook(book: Book, sent: BookChange): Promise<Changed> {
  const change = readChange(sent);
  const { store, nowEpochMs, newId } = book.ports;
  const steps = named(change.steps, newId);
  const done = await store.transact(async (writes) => {
    const again = change.key === undefined ? undefined : await writes.groupByKey(change.key);
    if (again !== undefined) {
      const records = (await writes.entries(again.seq)).flatMap(({ after }) => after ?? []);
      return { group: again, rows: [], records, repeated: true };
    }
    const at = new Date(nowEpochMs()).toISOString();
    const current = await writes.getMany(steps.map(({ id }) => id));
    const changes = steps.map((step) => rowOf(step, current.get(step.id), at));
    await checkBlockNames(writes, changes);
    const { what, key, by } = change;
    const seq = await writes.addGroup({
      at,
      what,
      sort: 'change',
      records: changes.length,
      ...(key === undefined ? {} : { key }),
      ...(by === undefined ? {} : { by }),
    });
    const rows = await commitRows(writes, seq, changes);
    return {
      group: (await writes.group(seq))!,
      rows,
      records: rows.map(({ after }) => after),
      repeated: false,
    };
  });
  const { group, records, repeated } = done;
  if (!repeated) book.tell({ group, rows: done.rows as readonly RowWrite[], gone: [] });
  return { group, records, repeated };
}

type NamedStep = BookStep & { readonly id: string };

function named(steps: readonly BookStep[], newId: () => string): readonly NamedStep[] {
  const seen = new Set<string>();
  return steps.map((step) => {
    const settings = step.do === 'put' && step.kind === 'settings';
    if (
      settings
        ? (step.id ?? SETTINGS_ID) !== SETTINGS_ID
        : step.id === SETTINGS_ID && step.do === 'put'
    ) {
      throw new AppError({
        code: 'one-settings',
        kind: 'bad-input',
        detail: `The settings of a book, and nothing else, are named ${SETTINGS_ID}.`,
        hint: 'Leave the id out.',
      });
    }
    const id = settings ? SETTINGS_ID : (step.id ?? newId());
    if (seen.has(id)) {
      throw new AppError({
        code: 'twice-in-a-change',
        kind: 'bad-input',
        detail: `${id} stands twice in one change.`,
        hint: 'Say only what it shall be in the end.',
        more: { id },
      });
    }
    seen.add(id);
    return { ...step, id };
  });
}

function rowOf(step: NamedStep, current: BookRecord | undefined, at: string): RowChange {
  const { id } = step;
  if (step.do === 'put' && step.version === undefined) {
    if (current !== undefined) throw idTaken(current);
    const { kind, body } = step;
    const after = { kind, id, version: 1, createdAt: at, changedAt: at, body } as BookRecord;
    return { before: undefined, after };
  }
  if (current === undefined) throw notInBook(id);
  if (current.version !== step.version) {
    throw staleWrite(current, step.do === 'put' ? step.body : step.do, step.version!);
  }
  const { deletedAt, ...rest } = current;
  const next = { ...rest, version: current.version + 1, changedAt: at };
  if (step.do === 'put') {
    if (step.kind !== current.kind) throw otherKind(step.kind, current);
    if (deletedAt !== undefined) throw inTheBin(current);
    return { before: current, after: { ...next, body: step.body } as BookRecord };
  }
  const after = step.do === 'delete' ? { ...next, deletedAt: deletedAt ?? at } : next;
  return { before: current, after: after as BookRecord };
}

function otherKind(kind: string, current: BookRecord): AppError {
  return new AppError({
    code: 'other-kind',
    kind: 'bad-input',
    detail: `${current.id} is a ${current.kind} and cannot become a ${kind}.`,
    hint: 'Make a new record.',
    more: { id: current.id },
  });
}

function inTheBin(current: BookRecord): AppError {
  return new AppError({
    code: 'in-the-bin',
    kind: 'conflict',
    detail: `${current.id} is deleted.`,
    hint: 'Restore it first.',
    more: { id: current.id, current },
  });
}
