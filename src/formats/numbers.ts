import type { Cell, Separator } from './delimited.ts';
import { unreadable } from './refusal.ts';

/** The sign that parts whole from tenths in a file. */
export type DecimalSign = '.' | ',';

const WITH_POINT = /^[+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d{1,3})?$/;
const WITH_COMMA = /^[+-]?(?:\d+(?:,\d+)?|,\d+)(?:[eE][+-]?\d{1,3})?$/;

/**
 * A number cell, or undefined where the text is anything else: words, `-`, thousands marks, both
 * signs at once, a bare trailing point, NaN, values past what a 64-bit number holds.
 */
export function numberFrom(text: string, decimal: DecimalSign): number | undefined {
  const plain = text.replace(/^\u2212/, '-');
  if (!(decimal === '.' ? WITH_POINT : WITH_COMMA).test(plain)) return undefined;
  const value = Number(plain.replace(',', '.'));
  return Number.isFinite(value) ? value : undefined;
}

export interface NumberCell extends Cell {
  readonly column: number;
  readonly name: string;
}

/**
 * Which decimal sign the number cells of a file use. Between commas it can only be the point.
 * Elsewhere the cells tell; both signs in one file is refused, as one of them may mark thousands.
 */
export function decimalSignOf(
  cells: Iterable<NumberCell>,
  separator: Separator | 'space',
  file: string,
): DecimalSign {
  if (separator === ',') return '.';
  let sign: DecimalSign | undefined;
  for (const cell of cells) {
    const comma = cell.text.includes(',');
    const point = cell.text.includes('.');
    if (comma === point) continue;
    const here = comma ? ',' : '.';
    if (numberFrom(cell.text, here) === undefined) continue;
    sign ??= here;
    if (sign !== here) {
      throw unreadable({
        file,
        line: cell.line,
        column: cell.column,
        name: cell.name,
        found: cell.text,
        expected: `decimals with "${sign}" as in the cells before it`,
        hint: 'Use one decimal sign in the whole file and none for thousands.',
      });
    }
  }
  return sign ?? '.';
}
