import { unreadable } from '../domain/unreadable-file.ts';
import type { Cell, Separator } from './delimited.ts';

/** The mark before the tenths of a number. */
export type DecimalMark = '.' | ',';

const WITH_POINT = /^[+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d{1,3})?$/;
const WITH_COMMA = /^[+-]?(?:\d+(?:,\d+)?|,\d+)(?:[eE][+-]?\d{1,3})?$/;

/**
 * The number of a cell, or undefined where the text is anything else: words, `-`, thousands marks, both
 * decimal marks at once, a trailing point, NaN, values past a 64-bit number.
 */
export function numberFrom(text: string, decimal: DecimalMark): number | undefined {
  const plain = text.replace(/^\u2212/, '-');
  if (!(decimal === '.' ? WITH_POINT : WITH_COMMA).test(plain)) return undefined;
  const value = Number(plain.replace(',', '.'));
  return Number.isFinite(value) ? value : undefined;
}

export interface NumberCell extends Cell {
  readonly column: number;
  readonly name: string;
}

/** Groups of three after a comma: in a file separated by commas these are thousands, not decimals. */
const THOUSANDS = /^[+-]?[1-9]\d{0,2},\d{3}$/;

/**
 * Which decimal mark the number cells of a file use. The cells decide, for every separator: between
 * commas a quoted "45,2" counts, "1,234" does not.
 * Refuses: both marks in one file, as one of them may mark thousands -> file-unreadable
 */
export function decimalMarkOf(
  cells: Iterable<NumberCell>,
  separator: Separator | 'space',
  file: string,
): DecimalMark {
  let mark: DecimalMark | undefined;
  for (const cell of cells) {
    const comma = cell.text.includes(',');
    const point = cell.text.includes('.');
    if (comma === point) continue;
    const here = comma ? ',' : '.';
    if (numberFrom(cell.text, here) === undefined) continue;
    if (separator === ',' && THOUSANDS.test(cell.text)) continue;
    mark ??= here;
    if (mark !== here) {
      throw unreadable({
        file,
        line: cell.line,
        column: cell.column,
        name: cell.name,
        found: cell.text,
        expected: `decimals with "${mark}" as in the cells before`,
        hint: 'Use one decimal mark in the whole file and none for thousands.',
      });
    }
  }
  return mark ?? '.';
}
