import { AppError } from '../core/errors.ts';
import { foldedText } from '../domain/index-fields.ts';
import type { BookRecord } from '../domain/records/record.ts';
import type { Book } from './book.ts';
import type { ListPlace, StoredQuery } from './ports.ts';

export interface ListCall extends Omit<StoredQuery, 'after' | 'descending'> {
  readonly descending?: boolean;
  /** As the page before gave it. */
  readonly cursor?: string;
}

export interface Listed {
  readonly records: readonly BookRecord[];
  /** Of all pages together. */
  readonly total: number;
  readonly cursor?: string;
}

/** Most records of one page. */
export const MOST_LISTED = 500;

/**
 * One page of records, sorted and filtered. Pages stay right while others change the book: a page goes
 * on after the last one shown, wherever that has come to lie.
 * Refuses: a page size out of range, a cursor nobody gave -> bad-page (bad-input)
 */
export async function listBook(book: Book, call: ListCall): Promise<Listed> {
  const { cursor, descending = false, tag, ...rest } = call;
  if (!Number.isInteger(rest.limit) || rest.limit < 1 || rest.limit > MOST_LISTED) {
    throw badPage(`A page of ${rest.limit} was asked for.`, `Ask for 1 to ${MOST_LISTED} records.`);
  }
  const { records, total, next } = await book.ports.store.list({
    ...rest,
    descending,
    ...(tag === undefined ? {} : { tag: foldedText(tag) }),
    ...(cursor === undefined ? {} : { after: placeFrom(cursor, rest.sort) }),
  });
  return { records, total, ...(next === undefined ? {} : { cursor: cursorFrom(next, rest.sort) }) };
}

function cursorFrom({ value, id }: ListPlace, sort: StoredQuery['sort']): string {
  return Buffer.from(JSON.stringify([sort, value, id])).toString('base64url');
}

function placeFrom(cursor: string, sort: StoredQuery['sort']): ListPlace {
  try {
    const read: unknown = JSON.parse(Buffer.from(cursor, 'base64url').toString());
    if (Array.isArray(read) && read.length === 3 && read[0] === sort) {
      const [, value, id] = read;
      const kind = sort === 'name' || sort === 'code' ? 'string' : 'number';
      if (typeof value === kind && typeof id === 'string') return { value, id };
    }
  } catch {
    // Said below, as for any other text that is no cursor.
  }
  throw badPage('This page mark is not one of this list.', 'Start at the first page again.');
}

function badPage(detail: string, hint: string): AppError {
  return new AppError({ code: 'bad-page', kind: 'bad-input', detail, hint });
}
