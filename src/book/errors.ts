import { AppError } from '../core/errors.ts';
import { sentenceStart } from '../core/sentence-start.ts';
import { titleOf } from '../domain/index-fields.ts';
import type { BookRecord, RecordOf } from '../domain/records/record.ts';

/** How many users of a record a message names. */
const NAMED = 5;

export function notInBook(id: string): AppError {
  return new AppError({
    code: 'not-in-book',
    kind: 'not-found',
    detail: `Nothing in this book is named ${id}.`,
    hint: 'It may have been emptied from the bin, or belong to another book.',
    more: { id },
  });
}

/** The record was changed after the user opened it; the error carries both versions, so that the user can choose. */
export function staleWrite(current: BookRecord, yours: unknown, version: number): AppError {
  return new AppError({
    code: 'stale-write',
    kind: 'conflict',
    detail: `${sentenceStart(titleOf(current))} was changed since you looked: you saw version ${version}, the book has ${current.version}.`,
    hint: 'Look at both, and save again on top of the newer one.',
    more: { id: current.id, yourVersion: version, yours, current },
  });
}

export function idTaken(current: BookRecord): AppError {
  return new AppError({
    code: 'id-taken',
    kind: 'conflict',
    detail: `${sentenceStart(titleOf(current))} is there already under ${current.id}.`,
    hint: 'To change it, say which version you saw; to make a new one, leave the id out.',
    more: { id: current.id, current },
  });
}

export function codeTaken(code: string, mine: BookRecord, holder: BookRecord): AppError {
  return new AppError({
    code: 'code-taken',
    kind: 'conflict',
    detail: `The code ${code} of ${titleOf(mine)} belongs to ${titleOf(holder)}.`,
    hint: 'Give one of the two another code.',
    more: { code, id: mine.id, holder: holder.id },
  });
}

/** A word that means several records; `says` lists them. */
export function whichOne(says: string, ids: readonly string[]): AppError {
  return new AppError({
    code: 'which-one',
    kind: 'bad-input',
    detail: says,
    hint: 'Nothing was saved. Write the one you mean.',
    more: { ids },
  });
}

export function nameTaken(
  mine: RecordOf<'block'>,
  holder: RecordOf<'block'>,
  line: BookRecord | undefined,
): AppError {
  const where = line === undefined ? 'Its line' : sentenceStart(titleOf(line));
  return new AppError({
    code: 'name-taken',
    kind: 'conflict',
    detail: `${where} already has a block named ${holder.body.name}.`,
    hint: 'Nothing was saved. Give the new block another name, or use the block that is there.',
    more: { name: mine.body.name, id: mine.id, holder: holder.id },
  });
}

export function inUse(
  what: BookRecord,
  users: readonly { readonly record: BookRecord; readonly role: string }[],
): AppError {
  const named = users.slice(0, NAMED).map(({ record }) => titleOf(record));
  const rest = users.length - named.length;
  return new AppError({
    code: 'in-use',
    kind: 'conflict',
    detail: `${sentenceStart(titleOf(what))} is used by ${named.join(', ')}${rest > 0 ? ` and ${rest} more` : ''}.`,
    hint: 'Change or delete those first, or together with it.',
    more: {
      id: what.id,
      users: users.map(({ record, role }) => ({ id: record.id, kind: record.kind, role })),
    },
  });
}

export function leansOnNothing(from: BookRecord, role: string, to: BookRecord | string): AppError {
  const missing = typeof to === 'string';
  return new AppError({
    code: 'leans-on-nothing',
    kind: 'conflict',
    detail: missing
      ? `${sentenceStart(titleOf(from))} names ${to} (${role}), which is not in the book.`
      : `${sentenceStart(titleOf(from))} needs ${titleOf(to)} (${role}), which is deleted.`,
    hint: missing ? 'Keep that first, or name another.' : 'Restore that first.',
    more: { id: from.id, role, needs: missing ? to : to.id },
  });
}
