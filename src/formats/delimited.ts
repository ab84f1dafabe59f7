import { shown, unreadable } from './refusal.ts';
import { FILE_LIMITS } from './text.ts';

export interface Cell {
  /** Without outer white space; inside quotes, doubled quotes made single. */
  readonly text: string;
  /** Line on which the cell begins. */
  readonly line: number;
}

export interface Row {
  readonly line: number;
  readonly cells: readonly Cell[];
}

/** No separator: a table of one column, whose cells may hold any of the others. */
export type Separator = ',' | ';' | '\t' | '';

const CLOSED_BY = 'Close the quote; inside quotes a quote is written twice.';

/**
 * Rows of separated cells, with the line each begins on. Rows without any text are left out.
 * Quotes count only where they open a cell; they may hold separators and line breaks. Elsewhere
 * they are plain letters, so that `2 "Kelp + Foam"` may stand unquoted.
 * Units:   `firstLine` is the line number of the text's first line
 * Refuses: an open quote, text after a closing quote, sizes past FILE_LIMITS -> file-unreadable
 * Source:  RFC 4180, but for the quotes inside a cell, CR or LF alone, and the other separators
 */
export function splitDelimited(
  text: string,
  separator: Separator,
  file: string,
  firstLine = 1,
): readonly Row[] {
  const rows: Row[] = [];
  let cells: Cell[] = [];
  let at = 0;
  let line = firstLine;
  let rowLine = line;

  const stop = (cellLine: number, saw: string, expected: string, hint: string): never => {
    throw unreadable({ file, line: cellLine, column: cells.length + 1, saw, expected, hint });
  };
  const endRow = () => {
    if (cells.some((cell) => cell.text !== '')) rows.push({ line: rowLine, cells });
    if (rows.length > FILE_LIMITS.rows + 1) {
      throw unreadable({
        file,
        line: rowLine,
        saw: 'more rows',
        expected: `at most ${FILE_LIMITS.rows}`,
        hint: 'Split the file.',
      });
    }
    cells = [];
    rowLine = line;
  };
  const addCell = (value: string, cellLine: number) => {
    const limit = FILE_LIMITS.cellCharacters;
    if (value.length > limit) {
      stop(cellLine, `${value.length} characters`, `at most ${limit} in a cell`, CLOSED_BY);
    }
    if (cells.length >= FILE_LIMITS.columns) {
      stop(
        cellLine,
        'more columns',
        `at most ${FILE_LIMITS.columns}`,
        'Leave out what is not asked.',
      );
    }
    cells.push({ text: value.trim(), line: cellLine });
  };

  while (at <= text.length) {
    const cellLine = line;
    while (text[at] === ' ') at++;
    if (text[at] === '"') {
      const value: string[] = [];
      at++;
      for (;;) {
        const end = text.indexOf('"', at);
        if (end < 0) stop(cellLine, 'an open quote', 'a closing one', CLOSED_BY);
        value.push(text.slice(at, end));
        at = end + 1;
        if (text[at] !== '"') break;
        value.push('"');
        at++;
      }
      const whole = value.join('');
      line += countBreaks(whole);
      while (text[at] === ' ') at++;
      if (at < text.length && text[at] !== separator && text[at] !== '\n' && text[at] !== '\r') {
        stop(line, `"${shown(text[at])}" after a closing quote`, 'the end of the cell', CLOSED_BY);
      }
      addCell(whole, cellLine);
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
