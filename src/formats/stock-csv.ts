import type { StockRow } from '../core/find/known-clays.ts';
import { clayKey } from '../core/notation/notation.ts';
import { textFromBytes } from '../domain/text-file.ts';
import { shown, unreadable } from '../domain/unreadable-file.ts';
import { csvTable } from './csv-table.ts';
import { cellOf } from './delimited.ts';
import { decimalMarkOf, type NumberCell, numberFrom } from './numbers.ts';
import { checkWidths, namedColumns } from './table-columns.ts';

const HEADINGS = ['clay', 'line', 'grams', 'pack-grams', 'price', 'density'] as const;
type Heading = (typeof HEADINGS)[number];
const HINT = 'Check the number and the decimal mark, or leave the cell empty.';
/** Limits of the numbers in a stock: g, g of a package, money, g/cm3. */
const LIMITS = {
  grams: [0, 1_000_000],
  'pack-grams': [0.1, 1_000_000],
  price: [0, 1_000_000],
  density: [0.5, 5],
} as const satisfies Partial<Record<Heading, readonly [number, number]>>;

/**
 * The clays on hand from a CSV file, one row for each clay. Columns `note...` and `x-...` are ignored.
 * Units:   grams on hand, grams and price (in money, decimals allowed) of a package, density g/cm3
 * Refuses: a heading unknown or twice, no column `clay`, a clay twice, rows of another width, a number
 *          outside its limits, a price without the grams of its package -> file-unreadable
 */
export function readStockCsv(bytes: Uint8Array, fileName: string): readonly StockRow[] {
  const { header, rows, separator } = csvTable(textFromBytes(bytes, fileName), {
    file: fileName,
    example: 'clay,line,grams',
  });
  const at = namedColumns(header, fileName, HEADINGS, ['clay']);
  checkWidths(rows, header.cells.length, fileName);
  const numbers = rows.flatMap((row) =>
    [...at].flatMap(([name, i]): NumberCell[] =>
      name in LIMITS ? [{ ...cellOf(row, i), column: i + 1, name }] : [],
    ),
  );
  const decimal = decimalMarkOf(numbers, separator, fileName);
  const seen = new Map<string, number>();
  return rows.map((row) => {
    const where = (name: Heading) => ({
      file: fileName,
      line: row.line,
      column: (at.get(name) ?? 0) + 1,
      name,
    });
    const textOf = (name: Heading) => {
      const index = at.get(name);
      return index === undefined ? '' : cellOf(row, index).text.trim();
    };
    const numberOf = (name: keyof typeof LIMITS) => {
      const text = textOf(name);
      if (text === '') return undefined;
      const [low, high] = LIMITS[name];
      const value = numberFrom(text, decimal) ?? Number.NaN;
      if (value >= low && value <= high) return value;
      throw unreadable({
        ...where(name),
        found: text,
        expected: `a number from ${low} to ${high}`,
        hint: HINT,
      });
    };
    const name = textOf('clay');
    if (name === '') {
      throw unreadable({
        ...where('clay'),
        found: '',
        expected: 'the name of a clay',
        hint: 'Write the name of the clay in every row, as in your readings.',
      });
    }
    const before = seen.get(clayKey(name));
    if (before !== undefined) {
      throw unreadable({
        ...where('clay'),
        saw: `"${shown(name)}" a second time`,
        expected: 'one row for every clay',
        hint: `Line ${before} has this clay already. Add the two together.`,
      });
    }
    seen.set(clayKey(name), row.line);
    const price = numberOf('price');
    const packG = numberOf('pack-grams');
    if (price !== undefined && packG === undefined) {
      throw unreadable({
        ...where('price'),
        saw: 'a price without the grams of the package',
        expected: 'a number in the column pack-grams',
        hint: 'The price is for one package: write how many grams are in it.',
      });
    }
    const line = textOf('line');
    const onHandG = numberOf('grams');
    const density = numberOf('density');
    return {
      name,
      ...(line === '' ? {} : { line }),
      ...(onHandG === undefined ? {} : { onHandG }),
      ...(price === undefined || packG === undefined
        ? {}
        : { priceMinorPerG: (100 * price) / packG }),
      ...(packG === undefined ? {} : { packageG: packG }),
      ...(density === undefined ? {} : { density }),
    };
  });
}
