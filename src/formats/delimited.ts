import type { AppError } from '../core/errors.ts';
import { FILE_LIMITS } from '../domain/text-file.ts';
import { type FoundIn, shown, unreadable } from '../domain/unreadable-file.ts';

export interface Cell {
  /** Without outer white space (unless read with `exact`); inside quotes, doubled quotes made single. */
  readonly text: string;
  /** Line on which the cell begins. */
  readonly line: number;
}

export interface Row {
  readonly line: number;
  readonly cells: readonly Cell[];
}

/** The cell under a heading; a row that ends before has an empty one. */
export function cellOf({ line, cells }: Row, index: number): Cell {
  return cells[index] ?? { text: '', line };
}

/** No separator: a table of one column, whose cells may contain any of the others. */
export type Separator = ',' | ';' | '\t' | '';

export interface SplitOptions {
  readonly file: string;
  /** Line number of the first line of the text; 1 when absent. */
  readonly firstLine?: number;
  /** Cells exactly as written, with white space, and of any size and number, as exports need. */
  readonly exact?: boolean;
  /** Makes the error; `unreadable` when absent. */
  readonly error?: (at: FoundIn) => AppError;
}

const CLOSE_QUOTE = 'Close the quote; inside quotes a quote is written twice.';

/**
 * Rows of separated cells, with the line each begins on. Rows without any text are left out.
 * Quotes count only where they open a cell; they may hold separators and line breaks. Elsewhere
 * they are plain letters, so that `2 "Kelp + Foam"` needs no quotes around it.
 * Refuses: an open quote, text after a closing quote, sizes past FILE_LIMITS -> file-unreadable, with line
 *          and column
 * Source:  RFC 4180, except for quotes inside a cell, CR or LF alone, and the other separators
 */
export function splitDelimited(
  text: string,
  separator: Separator,
  { file, firstLine = 1, exact = false, error = unreadable }: SplitOptions,
): readonly Row[] {
  const rows: Row[] = [];
  let cells: Cell[] = [];
  let at = 0;
  let line = firstLine;
  let rowLine = line;

  const stop = (cellLine: number, saw: string, expected: string, hint: string): never => {
    throw error({ file, line: cellLine, column: cells.length + 1, saw, expected, hint });
  };
  const skipSpaces = () => {
    if (!exact) while (text[at] === ' ') at++;
  };
  const endRow = () => {
    const empty = exact
      ? cells.length === 1 && cells[0]?.text === ''
      : cells.every((cell) => cell.text === '');
    if (!empty) rows.push({ line: rowLine, cells });
    if (!exact && rows.length > FILE_LIMITS.rows + 1) {
      const expected = `at most ${FILE_LIMITS.rows}`;
      throw error({ file, line: rowLine, saw: 'more rows', expected, hint: 'Split the file.' });
    }
    cells = [];
    rowLine = line;
  };
  const addCell = (value: string, cellLine: number) => {
    const { cellCharacters, columns } = FILE_LIMITS;
    if (!exact && value.length > cellCharacters) {
      const expected = `at most ${cellCharacters} in a cell`;
      stop(cellLine, `${value.length} characters`, expected, CLOSE_QUOTE);
    }
    if (!exact && cells.length >= columns) {
      stop(cellLine, 'more columns', `at most ${columns}`, 'Leave out columns you do not need.');
    }
    cells.push({ text: exact ? value : value.trim(), line: cellLine });
  };

  while (at <= text.length) {
    const cellLine = line;
    skipSpaces();
    if (text[at] === '"') {
      const pieces: string[] = [];
      at++;
      for (;;) {
        const end = text.indexOf('"', at);
        if (end < 0) stop(cellLine, 'an open quote', 'a closing one', CLOSE_QUOTE);
        pieces.push(text.slice(at, end));
        at = end + 1;
        if (text[at] !== '"') break;
        pieces.push('"');
        at++;
      }
      const value = pieces.join('');
      line += countBreaks(value);
      skipSpaces();
      if (at < text.length && text[at] !== separator && text[at] !== '\n' && text[at] !== '\r') {
        const saw = `"${shown(text.charAt(at))}" after a closing quote`;
        stop(line, saw, 'the end of the cell', CLOSE_QUOTE);
      }
      addCell(value, cellLine);
    } else {
      let end = at;
      while (end < text.length) {
        const c = text[end];
        if (c === separator || c === '\n' || c === '\r') break;
        end++;
      }
      addCell(text.slice(at, end), cellLine);
      at = end;
    }
    if (at < text.length && text[at] === separator) {
      at++;
      continue;
    }
    at += text[at] === '\r' && text[at + 1] === '\n' ? 2 : 1;
    line++;
    endRow();
  }
  return rows;
}

function countBreaks(text: string): number {
  return text.match(/\r\n|\n|\r/g)?.length ?? 0;
}
