import type { AppError } from '../core/errors.ts';
import { tidyName, UNREADABLE } from '../core/notation/clay-name.ts';
import { READING_RANGE, type Reading } from '../domain/reading.ts';
import type { ColumnName, Columns } from './columns.ts';
import type { Cell, Row, Separator } from './delimited.ts';
import { type DecimalSign, numberFrom } from './numbers.ts';
import { unreadable } from './refusal.ts';

/** A table of readings whose headings are understood and whose cells are not yet. */
export interface ReadingTable {
  readonly file: string;
  readonly columns: Columns;
  readonly rows: readonly Row[];
  readonly separator: Separator | 'space';
  /** What a row takes where its own cell is empty or missing. */
  readonly fileWide?: ReadonlyMap<ColumnName, Cell & { readonly name: string }>;
  /** What reflectances are to be divided by, where the file states it. */
  readonly norm?: number;
  /** What parts count where nothing says; as READING_DEFAULTS when absent. */
  readonly basis?: Reading['basis'];
}

interface Placed extends Cell {
  readonly file: string;
  readonly name: string;
  /** Absent where the text stands outside the table. */
  readonly column?: number;
}

/** The cells of one row by the names of their columns, each taken for what its heading says. */
export class RowCells {
  protected readonly table: ReadingTable;
  protected readonly row: Row;
  protected readonly decimal: DecimalSign;

  constructor(table: ReadingTable, row: Row, decimal: DecimalSign) {
    this.table = table;
    this.row = row;
    this.decimal = decimal;
  }

  protected number(name: keyof typeof RANGE_OF, expected: string): number | undefined {
    const cell = this.cell(name);
    if (cell === undefined) return undefined;
    const value = numberFrom(cell.text, this.decimal);
    if (value === undefined) {
      throw this.unlike(cell, expected, 'Leave the cell empty where nothing is known.');
    }
    const [low, high] = RANGE_OF[name];
    if (value >= low && value <= high) return value;
    const hint = 'Check the number and the decimal sign.';
    throw this.unlike(cell, `a number between ${low} and ${high}`, hint);
  }

  protected word<T>(
    name: ColumnName,
    read: (text: string) => T | undefined,
    expected: string,
  ): T | undefined {
    const cell = this.cell(name);
    if (cell === undefined) return undefined;
    const value = cell.text.length > LONGEST_WORD ? undefined : read(cell.text);
    if (value !== undefined) return value;
    throw this.unlike(cell, expected, 'Leave the cell empty for the usual.');
  }

  /** A name in composed letters, without the line breaks a quoted cell may hold. */
  protected oneLine(cell: Placed): string {
    const name = tidyName(cell.text);
    if (!UNREADABLE.test(name)) return name;
    throw this.unlike(cell, 'a name in plain letters', 'Type the name again.');
  }

  protected needed(name: ColumnName): Placed {
    const cell = this.cell(name);
    if (cell !== undefined) return cell;
    const column = this.table.columns.named.get(name);
    throw unreadable({
      file: this.table.file,
      line: this.row.line,
      ...(column === undefined ? {} : { column: column.index + 1 }),
      name: column?.name ?? name,
      found: '',
      expected: MISSING[name] ?? `a value for ${name}`,
      hint: 'Every row names its tile and what it is made of, and gives L, a and b together.',
    });
  }

  protected cell(name: ColumnName): Placed | undefined {
    const { file, columns, fileWide } = this.table;
    const column = columns.named.get(name);
    if (column !== undefined) {
      const cell = this.row.cells[column.index];
      if (cell.text !== '') return { ...cell, file, column: column.index + 1, name: column.name };
    }
    const wide = fileWide?.get(name);
    return wide === undefined ? undefined : { ...wide, file };
  }

  protected unlike({ text, ...place }: Placed, expected: string, hint: string): AppError {
    return unreadable({ ...place, found: text, expected, hint });
  }
}

/** No word of any list is longer; what is longer is not looked into. */
const LONGEST_WORD = 60;

const MISSING: Partial<Record<ColumnName, string>> = {
  tile: 'the name of the tile',
  of: 'a recipe such as 5 Kelp + 2 Foam',
  L: 'all three of L, a and b',
  a: 'all three of L, a and b',
  b: 'all three of L, a and b',
};

const RANGE_OF = {
  L: READING_RANGE.lightness,
  a: READING_RANGE.axis,
  b: READING_RANGE.axis,
  spread: READING_RANGE.spread,
  thicknessMm: READING_RANGE.thicknessMm,
  partsSpread: READING_RANGE.partsSpread,
} as const;
