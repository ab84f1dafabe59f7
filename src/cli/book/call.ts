import type { AppError } from '../../core/errors.ts';
import { nearestNames } from '../../core/notation/nearest-name.ts';
import { BOOK_KINDS } from '../../domain/records/record.ts';
import type { BookShell } from '../book-shell.ts';
import type { Call } from '../command-parts.ts';
import { unreadableCall } from '../options.ts';
import { renamedKind } from '../renamed.ts';

/** What a command of the book is given. */
export type BookCall<Options = unknown> = Call<Readonly<Options> & { readonly folder?: string }>;

export const json = (value: unknown) => `${JSON.stringify(value)}\n`;
export const folderOf = ({ options }: BookCall, { books }: BookShell) =>
  books.folderOf(options.folder);

export function noKind(word: string, command: string): AppError {
  const now = renamedKind(word.toLowerCase());
  if (now !== undefined) return unreadableCall(`${word} is now called ${now}.`, command);
  const [closest] = nearestNames(word.toLowerCase(), BOOK_KINDS);
  const meant = closest === undefined ? '' : ` Did you mean ${closest}?`;
  return unreadableCall(`"${word.slice(0, 40)}" is no kind of record.${meant}`, command);
}
