import { READING_DEFAULTS, READING_RANGE, type Reading } from '../contract/reading.ts';
import { AppError } from '../core/errors.ts';
import { parseRecipe, type Recipe, sharesOf } from '../core/recipe/notation.ts';
import { tidyName, UNREADABLE } from '../core/recipe/parent-name.ts';
import type { ColumnName, Columns } from './columns.ts';
import type { Cell, Row, Separator } from './delimited.ts';
import { type DecimalSign, numberFrom } from './numbers.ts';
import type { WrittenSpectrum } from './reflectance-scale.ts';
import { placed, unreadable } from './refusal.ts';
import {
  backingFrom,
  basisFrom,
  geometryFrom,
  lightFrom,
  observerFrom,
  stateFrom,
} from './words.ts';

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

/** A row understood but for the scale of its spectrum, which the whole file decides. */
export interface Draft extends WrittenSpectrum {
  readonly reading: Omit<Reading, 'spectrum'>;
  readonly row: Row;
}

/** One row, cell by cell. */
export class RowReader {
  private readonly table: ReadingTable;
  private readonly row: Row;
  private readonly decimal: DecimalSign;

  constructor(table: ReadingTable, row: Row, decimal: DecimalSign) {
    this.table = table;
    this.row = row;
    this.decimal = decimal;
  }

  draft(): Draft {
    const { row } = this;
    const { file } = this.table;
    const lab = this.lab();
    const values = this.band();
    if (lab === undefined && values.length === 0) {
      throw unreadable({
        file,
        line: row.line,
        saw: 'a row without a colour',
        expected: 'L, a and b, or a spectrum',
        hint: 'Fill them in, or take the row out until the tile is read.',
      });
    }
    const of = this.recipe();
    const thicknessMm = this.number('thicknessMm', 'millimetres such as 3');
    const backing = this.backing(thicknessMm);
    const photo = this.cell('photo');
    const bare = values.length === 0;
    const reading = {
      tile: this.oneLine(this.needed('tile')),
      of,
      basis:
        this.word('basis', basisFrom, 'volume or weight') ??
        this.table.basis ??
        READING_DEFAULTS.basis,
      state: this.word('state', stateFrom, 'raw or baked') ?? READING_DEFAULTS.state,
      ...(lab === undefined ? {} : { lab }),
      spread:
        this.number('spread', 'CIELAB units such as 0.5') ??
        (bare ? READING_DEFAULTS.spreadOfLab : READING_DEFAULTS.spreadOfSpectrum),
      geometry:
        this.word('geometry', geometryFrom, 'included or excluded (also di:8, de:8, 45:0)') ??
        (bare ? READING_DEFAULTS.geometryOfLab : READING_DEFAULTS.geometryOfSpectrum),
      ...(thicknessMm === undefined ? {} : { thicknessMm }),
      ...(backing === undefined ? {} : { backing }),
      ...(photo === undefined ? {} : { photo: this.oneLine(photo) }),
      partsSpread:
        this.number('partsSpread', 'a share such as 0.03') ??
        (sharesOf(of).length === 1
          ? READING_DEFAULTS.partsSpreadOfParent
          : READING_DEFAULTS.partsSpreadOfMix),
      place: { file, line: row.line },
    };
    return { reading, row, line: row.line, values };
  }

  private lab(): Reading['lab'] {
    const cells = (['L', 'a', 'b'] as const).map((name) => this.cell(name));
    const light = this.word('light', lightFrom, 'D50, D65, A, FL11 or LED-B3');
    const observer = this.word('observer', observerFrom, '2 or 10');
    if (cells.every((cell) => cell === undefined)) return undefined;
    const [l, a, b] = (['L', 'a', 'b'] as const).map((name) => {
      this.needed(name);
      const value = this.number(name, 'a number such as 45.2');
      if (value === undefined) throw new TypeError('a cell with text gave no number');
      return value;
    });
    return {
      values: [l, a, b],
      light: light ?? READING_DEFAULTS.light,
      observer: observer ?? READING_DEFAULTS.observer,
    };
  }

  /** Values as written, one a band; none where the row leaves its spectrum empty. */
  private band(): number[] {
    const { bands } = this.table.columns;
    const { cells } = this.row;
    if (bands.every(({ index }) => cells[index].text === '')) return [];
    return bands.map(({ index, name }) => {
      const value = numberFrom(cells[index].text, this.decimal);
      if (value !== undefined) return value;
      const at = { ...cells[index], file: this.table.file, column: index + 1, name };
      throw this.unlike(
        at,
        'a reflectance such as 0.35',
        'Fill the whole spectrum of a row, or leave all of it empty.',
      );
    });
  }

  private recipe(): Recipe {
    const cell = this.needed('of');
    try {
      return parseRecipe(cell.text);
    } catch (fault) {
      throw fault instanceof AppError ? placed(fault, cell) : fault;
    }
  }

  private backing(thicknessMm: number | undefined): number | undefined {
    const read = (text: string) => backingFrom(text, this.decimal);
    const backing = this.word('backing', read, 'white, black, a number 0-1 or a per cent');
    if (thicknessMm !== undefined) return backing ?? READING_DEFAULTS.backing;
    if (backing === undefined) return undefined;
    throw this.unlike(
      this.needed('backing'),
      'a thickness beside it',
      'Give thicknessMm; without it the tile is taken as opaque and no backing shows.',
    );
  }

  private number(name: keyof typeof RANGE_OF, expected: string): number | undefined {
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

  private word<T>(
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
  private oneLine(cell: Placed): string {
    const name = tidyName(cell.text);
    if (!UNREADABLE.test(name)) return name;
    throw this.unlike(cell, 'a name in plain letters', 'Type the name again.');
  }

  private needed(name: ColumnName): Placed {
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

  private cell(name: ColumnName): Placed | undefined {
    const { file, columns, fileWide } = this.table;
    const column = columns.named.get(name);
    if (column !== undefined) {
      const cell = this.row.cells[column.index];
      if (cell.text !== '') return { ...cell, file, column: column.index + 1, name: column.name };
    }
    const wide = fileWide?.get(name);
    return wide === undefined ? undefined : { ...wide, file };
  }

  private unlike({ text, ...place }: Placed, expected: string, hint: string): AppError {
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
