import type { StockRow } from '../app/ports.ts';
import { parentKey } from '../core/recipe/notation.ts';
import { csvTable } from './csv-table.ts';
import type { Row } from './delimited.ts';
import { unreadable } from './refusal.ts';
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
 * What she owns, out of a CSV file: one row a clay.
 * Units:   grams on hand, grams and price (in money, decimals allowed) of a pack, density g/cm3
 * Refuses: a heading unknown or twice, no column `clay`, a clay twice, a number outside its bounds, a
 *          price without the grams of its pack -> file-unreadable
 */
export function readStockCsv(bytes: Uint8Array, fileName: string): readonly StockRow[] {
  const { header, rows } = csvTable(textFromBytes(bytes, fileName), fileName);
  const at = headingsOf(header, fileName);
  const seen = new Map<string, number>();
  return rows.map((row) => {
    const where = { file: fileName, line: row.line };
    const textOf = (name: Heading) => {
      const index = at.get(name);
      return index === undefined ? '' : (row.cells[index]?.text.trim() ?? '');
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
        ...where,
        column: (at.get(name) ?? 0) + 1,
        name,
        found: text,
        expected: `a number from ${low} to ${high}`,
        hint: HINT,
      });
    };
    const name = textOf('clay');
    if (name === '') {
      throw unreadable({ ...where, saw: 'no clay', expected: 'its name', hint: HINT });
    }
    const before = seen.get(parentKey(name));
    if (before !== undefined) {
      throw unreadable({
        ...where,
        saw: `"${name}" a second time`,
        expected: 'one row a clay',
        hint: `It stands in line ${before} already.`,
      });
    }
    seen.set(parentKey(name), row.line);
    const price = numberOf('price');
    const packG = numberOf('pack-grams');
    if (price !== undefined && packG === undefined) {
      throw unreadable({
        ...where,
        saw: 'a price without the grams of its pack',
        expected: 'a number under pack-grams',
        hint: HINT,
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
  header.cells.forEach(({ text }, index) => {
    const name = HEADINGS.find((heading) => heading === text.trim().toLowerCase());
    if (name === undefined || at.has(name)) {
      throw unreadable({
        file,
        line: header.line,
        saw: `the heading "${text.trim().slice(0, 40)}"${name === undefined ? '' : ' twice'}`,
        expected: HEADINGS.join(', '),
        hint: HINT,
      });
    }
    at.set(name, index);
  });
  if (!at.has('clay')) {
    throw unreadable({
      file,
      line: header.line,
      saw: 'no heading "clay"',
      expected: 'a column of names',
      hint: HINT,
    });
  }
  return at;
}
