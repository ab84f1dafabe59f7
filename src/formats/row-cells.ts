import type { AppError } from '../core/errors.ts';
import { tidyName, UNREADABLE } from '../core/notation/clay-name.ts';
import { BOOK_LIMITS } from '../domain/records/limits.ts';
import { READING_RANGE, type Reading } from '../domain/records/reading.ts';
import { unreadable } from '../domain/unreadable-file.ts';
import type { ColumnName, Columns } from './columns.ts';
import { type Cell, cellOf, type Row, type Separator } from './delimited.ts';
import { type DecimalMark, numberFrom } from './numbers.ts';

/** A table of readings: the headings are read, the cells not yet. */
export interface ReadingTable {
  readonly file: string;
  readonly columns: Columns;
  readonly rows: readonly Row[];
  readonly separator: Separator | 'space';
  /** Values for rows whose own cell is empty or missing. */
  readonly fileWide?: ReadonlyMap<ColumnName, Cell & { readonly name: string }>;
  /** Scale of the reflectances, where the file states it. */
  readonly norm?: number;
  /** What parts count where neither row nor file says; READING_DEFAULTS when absent. */
  readonly basis?: Reading['basis'];
}

interface Placed extends Cell {
  readonly file: string;
  readonly name: string;
  /** Absent where the text is outside the table. */
  readonly column?: number;
}

/** The cells of one row by the names of their columns. */
export class RowCells {
  protected readonly table: ReadingTable;
  protected readonly row: Row;
  protected readonly decimal: DecimalMark;

  constructor(table: ReadingTable, row: Row, decimal: DecimalMark) {
    this.table = table;
    this.row = row;
    this.decimal = decimal;
  }

  protected number(name: keyof typeof RANGE_OF, expected: string): number | undefined {
    const cell = this.cell(name);
    if (cell === undefined) return undefined;
    const value = numberFrom(cell.text, this.decimal);
    if (value === undefined) {
      throw this.unlike(cell, expected, 'Leave the cell empty where you do not know the number.');
    }
    const [low, high] = RANGE_OF[name];
    if (value >= low && value <= high) return value;
    const hint = 'Check the number and the decimal mark.';
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
    throw this.unlike(cell, expected, 'Leave the cell empty for the default.');
  }

  /** A name in composed letters, without the line breaks a quoted cell may hold. */
  protected oneLine(cell: Placed): string {
    const name = tidyName(cell.text);
    if (UNREADABLE.test(name)) {
      throw this.unlike(cell, 'a name in plain letters', 'Type the name again.');
    }
    if (name.length <= BOOK_LIMITS.name) return name;
    throw this.unlike(
      cell,
      `a name of at most ${BOOK_LIMITS.name} characters`,
      'Shorten the name. If the cell holds a note, move the note to another file.',
    );
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
      const cell = cellOf(this.row, column.index);
      if (cell.text !== '') return { ...cell, file, column: column.index + 1, name: column.name };
    }
    const wide = fileWide?.get(name);
    return wide === undefined ? undefined : { ...wide, file };
  }

  protected unlike({ text, ...place }: Placed, expected: string, hint: string): AppError {
    return unreadable({ ...place, found: text, expected, hint });
  }
}

/** Longer than any known word; longer texts are not compared. */
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
