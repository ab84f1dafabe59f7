import type { StockRow } from '../core/find/known-clays.ts';
import { clayKey } from '../core/notation/notation.ts';
import { csvTable } from './csv-table.ts';
import type { Row } from './delimited.ts';
import { shown, unreadable } from './refusal.ts';
import { textFromBytes } from './text.ts';

const HEADINGS = ['clay', 'line', 'grams', 'pack-grams', 'price', 'density'] as const;
type Heading = (typeof HEADINGS)[number];
const HINT =
  'The headings are clay, line, grams, pack-grams, price and density; only clay must be there.';
/** Bounds of what can stand in a stock: g, g of a pack, money, g/cm3. */
const LIMITS: Readonly<Record<string, readonly [number, number]>> = {
  grams: [0, 1_000_000],
  'pack-grams': [0.1, 1_000_000],
  price: [0, 1_000_000],
  density: [0.5, 5],
};

/**
 * What she owns, out of a CSV file: one row a clay. Columns `note...` and `x-...` are passed over.
 * Units:   grams on hand, grams and price (in money, decimals allowed) of a pack, density g/cm3
 * Refuses: a heading unknown or twice, no column `clay`, a clay twice, rows of another width, a
 *          number outside its bounds, a price without the grams of its pack -> file-unreadable
 */
export function readStockCsv(bytes: Uint8Array, fileName: string): readonly StockRow[] {
  const { header, rows } = csvTable(textFromBytes(bytes, fileName), fileName, 'clay,line,grams');
  const at = headingsOf(header, fileName);
  const seen = new Map<string, number>();
  return rows.map((row) => {
    if (row.cells.length !== header.cells.length) {
      throw unreadable({
        ...{ file: fileName, line: row.line, saw: `${row.cells.length} cells` },
        expected: `${header.cells.length}, as in the headings`,
        hint: 'A cell with a comma inside goes in quotes.',
      });
    }
    const where = (name: Heading) => ({
      file: fileName,
      line: row.line,
      column: (at.get(name) ?? 0) + 1,
      name,
    });
    const textOf = (name: Heading) => {
      const index = at.get(name);
      return index === undefined ? '' : row.cells[index].text.trim();
    };
    const numberOf = (name: Heading) => {
      const text = textOf(name);
      if (text === '') return undefined;
      const [low, high] = LIMITS[name];
      const value = /^[+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)$/.test(text)
        ? Number(text.replace(',', '.'))
        : Number.NaN;
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
        hint: 'Give every row the name of its clay, as your readings spell it.',
      });
    }
    const before = seen.get(clayKey(name));
    if (before !== undefined) {
      throw unreadable({
        ...where('clay'),
        saw: `"${shown(name)}" a second time`,
        expected: 'one row a clay',
        hint: `It stands in line ${before} already.`,
      });
    }
    seen.set(clayKey(name), row.line);
    const price = numberOf('price');
    const packG = numberOf('pack-grams');
    if (price !== undefined && packG === undefined) {
      throw unreadable({
        ...where('price'),
        saw: 'a price without the grams of its pack',
        expected: 'a number in the column pack-grams',
        hint: 'A price is that of a pack: say how many grams the pack holds.',
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
      ...(density === undefined ? {} : { density }),
    };
  });
}

function headingsOf(header: Row, file: string): ReadonlyMap<Heading, number> {
  const at = new Map<Heading, number>();
  header.cells.forEach(({ text, line }, index) => {
    const key = text
      .trim()
      .toLowerCase()
      .replace(/[\s_-]+/g, '-');
    if (key === '' || /^(?:note|x-)/.test(key)) return;
    const name = HEADINGS.find((heading) => heading === key);
    if (name === undefined || at.has(name)) {
      throw unreadable({
        ...{ file, line, column: index + 1, found: text },
        expected: `each of ${HEADINGS.join(', ')} once`,
        hint: 'Columns of your own may begin with note or x-.',
      });
    }
    at.set(name, index);
  });
  if (at.has('clay')) return at;
  throw unreadable({
    ...{ file, line: header.line, saw: 'no such column among the headings' },
    expected: 'a column "clay"',
    hint: HINT,
  });
}
