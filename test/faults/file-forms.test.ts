import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { textFromBytes } from '../../src/domain/text-file.ts';
import { bookTables, recordsFromBookCsv } from '../../src/formats/book-csv.ts';
import { recordsFromBookJson } from '../../src/formats/book-json.ts';
import { readReadings } from '../../src/formats/readings.ts';
import { readRecipesCsv } from '../../src/formats/recipes-csv.ts';
import { readStockCsv } from '../../src/formats/stock-csv.ts';
import { readVerdictsCsv } from '../../src/formats/verdicts-csv.ts';
import { callHere } from '../journeys/program.ts';

const utf8 = (text: string) => new Uint8Array(Buffer.from(text, 'utf8'));
const utf16 = (text: string) => new Uint8Array(Buffer.from(`\ufeff${text}`, 'utf16le'));

/** The same rows as saved by other programs. `;` in a table represents its separator. */
const FORMS: readonly (readonly [string, (table: string) => Uint8Array])[] = [
  ['semicolons', utf8],
  ['commas', (table) => utf8(table.replaceAll(';', ','))],
  ['tabs', (table) => utf8(table.replaceAll(';', '\t'))],
  ['CR LF', (table) => utf8(table.replaceAll('\n', '\r\n'))],
  ['CR', (table) => utf8(table.replaceAll('\n', '\r'))],
  ['a byte-order mark', (table) => utf8(`\ufeff${table}`)],
  ['UTF-16', utf16],
  ['UTF-16, the other order', (table) => new Uint8Array(Buffer.from(utf16(table)).swap16())],
  ['decimal commas', (table) => utf8(table.replace(/(\d)\.(\d)/g, '$1,$2'))],
  ['a line sep=', (table) => utf8(`sep=;\r\n${table}`)],
];

const JSON_BOOK =
  '{"format":"kneadwell-book","version":1,"records":[{"kind":"line","id":"salt","version":1,"createdAt":"2026-01-01T00:00:01.000Z","changedAt":"2026-01-01T00:00:01.000Z","body":{"name":"Saltmarsh","status":"current"}},{"kind":"block","id":"kelp","version":1,"createdAt":"2026-01-01T00:00:01.000Z","changedAt":"2026-01-01T00:00:01.000Z","body":{"name":"Kelp","lineId":"salt","status":"current","clayType":"opaque"}},{"kind":"tile","id":"t1","version":1,"createdAt":"2026-01-01T00:00:01.000Z","changedAt":"2026-01-01T00:00:01.000Z","body":{"name":"T1","of":{"kind":"block","id":"kelp"},"basis":"volume","state":"baked","bakes":[],"thicknessMm":2.5}}]}';

const READERS: readonly (readonly [string, string, (bytes: Uint8Array) => unknown])[] = [
  [
    'readings',
    'tile;of;L;a;b\nT1;1.5 Kelp + 2 Foam;45.2;-20.5;18.5\nT2;Kelp;41.5;-24.5;18.1\n',
    (bytes) => readReadings(bytes, 'x').readings.map(({ place: _place, ...reading }) => reading),
  ],
  [
    'recipes',
    'of;basis\n1.5 Kelp + 2 Foam;weight\nKelp;\n',
    (bytes) =>
      readRecipesCsv(bytes, 'x').recipes.map(({ of, basis }) => ({ of, basis: basis ?? 'any' })),
  ],
  [
    'verdicts',
    'trial;A;B;nearest;how\n1;1.5 Kelp + 2 Foam;Kelp;B;lighter\n2;Kelp;Foam;;\n',
    (bytes) => readVerdictsCsv(bytes, 'x').map(({ balls, verdict }) => ({ balls, verdict })),
  ],
  [
    'a stock',
    'clay;grams;pack-grams;price\nKelp;40.5;56;3.25\nFoam;212.5;56;3.5\n',
    (bytes) => readStockCsv(bytes, 'x'),
  ],
];

describe.each(READERS)('%s', (_name, table, read) => {
  const plain = read(utf8(table));
  it.each(FORMS)('are read from %s', (_form, write) => {
    expect(read(write(table))).toEqual(plain);
  });
});

describe('a table of an export', () => {
  const tables = bookTables(recordsFromBookJson(JSON_BOOK, 'x'));
  const plain = recordsFromBookJson(JSON_BOOK, 'x');
  const read = (bytes: Uint8Array) => recordsFromBookCsv(textFromBytes(bytes, 'x'), 'x');
  // Times contain a point that is no decimal mark.
  const forms = FORMS.filter(([form]) => form !== 'decimal commas');
  it.each(forms)('is read from %s', (_form, write) => {
    const records = [...tables.values()].flatMap((text) => read(write(text.replaceAll(',', ';'))));
    expect(records).toEqual(plain);
  });

  it('is read with decimal commas', () => {
    const saved = tables.get('tile')!.replaceAll(',', ';').replace('2.5', '2,5');
    expect(saved).toContain('2,5');
    expect(read(utf8(saved))).toEqual(plain.filter(({ kind }) => kind === 'tile'));
  });
});

describe('import', () => {
  const root = mkdtempSync(join(tmpdir(), 'kneadwell forms '));
  afterAll(() => rmSync(root, { recursive: true, force: true }));
  const checked = async (name: string, bytes: Uint8Array) => {
    writeFileSync(join(root, name), bytes);
    const { out, err } = await callHere(['import', join(root, name), '--check', '--folder', root]);
    return out + err;
  };

  it.each(FORMS)('finds readings in %s', async (_form, write) => {
    const [, table] = READERS[0];
    expect(await checked('tiles.csv', write(table))).toContain('2 readings can be read');
  });

  it('finds readings by their colours, whatever the tile is called', async () => {
    expect(await checked('tiles.csv', utf8('Name,Recipe,L*,a*,b*\nT1,Kelp,45,0,0\n'))).toContain(
      '1 reading can be read',
    );
    expect(await checked('tiles.csv', utf8('Name,L,a,b\nT1,45,0,0\n'))).toContain('a column "of"');
  });

  it('finds an export in UTF-16 and in semicolons', async () => {
    expect(await checked('book.json', utf16(JSON_BOOK))).toContain('3 records can be read');
    const [lines] = bookTables(recordsFromBookJson(JSON_BOOK, 'x')).values();
    expect(await checked('line.csv', utf8(lines.replaceAll(',', ';')))).toContain(
      '1 record can be read',
    );
  });
});
