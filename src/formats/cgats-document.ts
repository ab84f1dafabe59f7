import { FILE_LIMITS } from '../domain/text-file.ts';
import { shown, unreadable } from '../domain/unreadable-file.ts';
import { firstWord, type Line, linesOf, tokensOf } from './cgats-tokens.ts';
import type { Cell, Row } from './delimited.ts';

export interface CgatsDocument {
  /** Keywords in capitals, with their different values, without quotes. */
  readonly keywords: ReadonlyMap<string, readonly Cell[]>;
  /** Names of the fields, one row. */
  readonly format: Row;
  readonly sets: readonly Row[];
}

/**
 * Keywords, field names and data sets of the only table of a CGATS.17 / ISO 28178 text.
 * A set may run over several lines; it begins on a new line. Where tabs cut a line into exactly as many
 * values as there are fields, values may contain spaces without quotes and may be empty.
 * Refuses: a missing BEGIN or END, counts that differ from NUMBER_OF_FIELDS or NUMBER_OF_SETS, a
 *          second table, a keyword with two values, sizes past FILE_LIMITS -> file-unreadable
 * Source:  ANSI CGATS.17-2005 and ISO 28178, written from memory of their layout; sets over
 *          several lines because the older CGATS.5 kept lines short
 */
export function cgatsDocument(text: string, file: string): CgatsDocument {
  const keywords = new Map<string, Cell[]>();
  const fields: Cell[] = [];
  const data: Line[] = [];
  let formatLine: number | undefined;
  let state: 'head' | 'format' | 'formatted' | 'data' | 'after' = 'head';

  for (const at of linesOf(text)) {
    const { line } = at;
    const content = at.text.trim();
    const [word, rest] = firstWord(content);
    const stop = (expected: string, hint: string): never => {
      throw unreadable({ file, line, found: content, expected, hint });
    };
    if (word === 'BEGIN_DATA_FORMAT') {
      if (state !== 'head') stop('one table in the file', 'Save each table as its own file.');
      formatLine = line;
      state = addFields(fields, rest, line, file) ? 'formatted' : 'format';
    } else if (state === 'format') {
      if (addFields(fields, content, line, file)) state = 'formatted';
    } else if (word === 'BEGIN_DATA') {
      if (state === 'after') stop('one table in the file', 'Save each table as its own file.');
      if (state !== 'formatted' || rest !== '')
        stop('BEGIN_DATA alone, after END_DATA_FORMAT', WHOLE);
      state = 'data';
    } else if (word === 'END_DATA') {
      if (state !== 'data' || rest !== '') stop('END_DATA alone, after BEGIN_DATA', WHOLE);
      state = 'after';
    } else if (state === 'data') {
      data.push(at);
    } else if (word !== 'KEYWORD' && state !== 'after') {
      const value = rest.startsWith('"') ? (tokensOf(rest)[0] ?? '') : rest;
      const before = keywords.get(word) ?? [];
      if (before.length < MOST_VALUES && before.every((cell) => cell.text !== value)) {
        keywords.set(word, [...before, { text: value, line }]);
      }
    }
  }
  if (formatLine === undefined || state !== 'after') {
    const expected = EXPECTED_NEXT[state];
    throw unreadable({ file, saw: 'the end of the file', expected, hint: WHOLE });
  }
  const format = { line: formatLine, cells: fields };
  checkCount(keywords, 'NUMBER_OF_FIELDS', fields.length, 'fields are named', file);
  const sets = setsOf(data, fields.length, file);
  checkCount(keywords, 'NUMBER_OF_SETS', sets.length, 'sets are there', file);
  return { keywords, format, sets };
}

/** Most different values saved for one keyword: two show a contradiction, remarks repeat endlessly. */
const MOST_VALUES = 8;
const WHOLE = 'Check that the file was saved completely.';
const EXPECTED_NEXT = {
  head: 'BEGIN_DATA_FORMAT',
  format: 'END_DATA_FORMAT',
  formatted: 'BEGIN_DATA',
  data: 'END_DATA',
  after: 'nothing more',
} as const;

/**
 * The value of a keyword.
 * Refuses: two different values -> file-unreadable
 */
export function keywordOf(
  keywords: CgatsDocument['keywords'],
  name: string,
  file: string,
): Cell | undefined {
  const [first, second] = keywords.get(name) ?? [];
  if (first === undefined || second === undefined) return first;
  throw unreadable({
    file,
    line: second.line,
    found: `${name} ${second.text}`,
    expected: `${name} once (line ${first.line} has "${shown(first.text)}")`,
    hint: 'Remove one of the two.',
  });
}

/** Adds the field names of a line; true when the line also ends the list. */
function addFields(fields: Cell[], content: string, line: number, file: string): boolean {
  for (const token of tokensOf(content)) {
    if (token?.toUpperCase() === 'END_DATA_FORMAT') return true;
    fields.push({ text: token ?? '', line });
    if (fields.length > FILE_LIMITS.columns) {
      throw unreadable({
        file,
        line,
        saw: 'more fields',
        expected: `at most ${FILE_LIMITS.columns}`,
        hint: 'Export fewer columns.',
      });
    }
  }
  return false;
}

function checkCount(
  keywords: CgatsDocument['keywords'],
  keyword: string,
  count: number,
  are: string,
  file: string,
): void {
  const stated = keywordOf(keywords, keyword, file);
  if (stated === undefined || stated.text === String(count)) return;
  throw unreadable({
    file,
    line: stated.line,
    found: `${keyword} ${stated.text}`,
    expected: `${keyword} ${count}, as ${count} ${are}`,
    hint: WHOLE,
  });
}

function setsOf(data: readonly Line[], width: number, file: string): Row[] {
  const sets: Row[] = [];
  let open: { line: number; cells: Cell[] } | undefined;
  for (const { line, text } of data) {
    const tabbed = open === undefined ? tabbedCells(text, line, width) : undefined;
    if (tabbed !== undefined) {
      sets.push({ line, cells: tabbed });
    } else {
      open ??= { line, cells: [] };
      for (const token of tokensOf(text)) {
        if (token === undefined) {
          throw unreadable({
            file,
            line,
            column: open.cells.length + 1,
            saw: 'an open quote',
            expected: 'a closing one',
            hint: 'Close the quote; inside quotes a quote is written twice.',
          });
        }
        open.cells.push({ text: token, line });
      }
      if (open.cells.length > width) throw wrongWidth(open, width, file);
      if (open.cells.length === width) {
        sets.push(open);
        open = undefined;
      }
    }
    const limit = FILE_LIMITS.cellCharacters;
    const long = (open ?? sets.at(-1))?.cells.findIndex((c) => c.text.length > limit) ?? -1;
    if (long >= 0) {
      throw unreadable({
        file,
        line,
        column: long + 1,
        saw: 'a longer value',
        expected: `at most ${limit} characters`,
        hint: 'Close every quote.',
      });
    }
    if (sets.length > FILE_LIMITS.rows) {
      throw unreadable({
        file,
        line,
        saw: 'more sets',
        expected: `at most ${FILE_LIMITS.rows}`,
        hint: 'Split the file.',
      });
    }
  }
  if (open !== undefined) throw wrongWidth(open, width, file);
  return sets;
}

function wrongWidth(set: Row, width: number, file: string) {
  return unreadable({
    file,
    line: set.line,
    saw: `a set of ${set.cells.length} values`,
    expected: `${width}, as fields are named`,
    hint: 'Put a text with spaces in quotes, as in "5 Kelp + 2 Foam".',
  });
}

function tabbedCells(text: string, line: number, width: number): Cell[] | undefined {
  const parts = text.split('\t');
  // Some programs write one more tab at the end of each line.
  if (parts.length === width + 1 && parts.at(-1)?.trim() === '') parts.pop();
  if (parts.length !== width) return undefined;
  const cells: Cell[] = [];
  for (const part of parts) {
    const tokens = part.trim().startsWith('"') ? tokensOf(part) : [part.trim()];
    // Not one whole quoted value: the tab was inside quotes.
    if (tokens.length !== 1 || tokens[0] === undefined) return undefined;
    cells.push({ text: tokens[0], line });
  }
  return cells;
}
