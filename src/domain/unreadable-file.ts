import { AppError } from '../core/errors.ts';
import { UNREADABLE_ALL } from '../core/notation/clay-name.ts';

export interface FoundIn {
  readonly file: string;
  /** 1 is the first line; absent when the whole file is meant. */
  readonly line?: number;
  /** 1 is the first column. */
  readonly column?: number;
  /** Heading of the column. */
  readonly name?: string;
  /** The text found there, or words in `saw` where there is no text to quote. */
  readonly found?: string;
  readonly saw?: string;
  readonly expected: string;
  readonly hint: string;
}

/** The error "this file cannot be read": file, line, column, found, expected, what to do. */
export function unreadable(at: FoundIn): AppError {
  const found = at.saw ?? (at.found === '' ? 'nothing' : `"${shown(at.found ?? '')}"`);
  return new AppError({
    code: 'file-unreadable',
    kind: 'bad-input',
    detail: `${placeOf(at)}: found ${found}, expected ${at.expected}.`,
    hint: at.hint,
  });
}

/** An error inside a cell, with the place of the cell before the message. */
export function placed(error: AppError, at: Omit<FoundIn, 'expected' | 'hint'>): AppError {
  return new AppError({
    code: 'file-unreadable',
    kind: error.kind,
    detail: `${placeOf(at)}: ${error.detail}`,
    hint: error.hint,
    cause: error,
  });
}

function placeOf({ file, line, column, name }: Omit<FoundIn, 'expected' | 'hint'>): string {
  const parts = [file];
  if (line !== undefined) parts.push(`line ${line}`);
  if (column !== undefined) parts.push(`column ${column}${name ? ` (${shown(name)})` : ''}`);
  return parts.join(', ');
}

/** Text safe to show in a message: no control codes or broken letters, and short. */
export function shown(text: string): string {
  const plain = text.replace(UNREADABLE_ALL, '\u00b7');
  return plain.length > 40 ? `${plain.slice(0, 40).replace(/[\ud800-\udbff]$/, '')}...` : plain;
}
