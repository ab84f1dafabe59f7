import type { AppError } from '../../core/errors.ts';
import { nearestNames } from '../../core/notation/nearest-name.ts';
import { BOOK_KINDS } from '../../domain/records/record.ts';
import { type Given, oneValue, unreadableCall } from '../options.ts';
import type { BookShell } from './book-shell.ts';
import type { BookVerb } from './verbs.ts';

export const isJson = ({ switches }: Given) => switches.has('json');
export const json = (value: unknown) => `${JSON.stringify(value)}\n`;
export const folderOf = (given: Given, { books }: BookShell) =>
  books.folderOf(oneValue(given, 'folder'));

export function noOperands(given: Given, verb: BookVerb): void {
  if (given.operands.length === 0) return;
  throw unreadableCall(`"${given.operands[0].slice(0, 40)}" is one word too many.`, verb);
}

export function noKind(word: string, verb: BookVerb): AppError {
  const [near] = nearestNames(word.toLowerCase(), BOOK_KINDS);
  const meant = near === undefined ? '' : ` Did you mean ${near}?`;
  return unreadableCall(`"${word.slice(0, 40)}" is no kind of record.${meant}`, verb);
}
