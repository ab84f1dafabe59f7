import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { allRecords } from '../../src/book/all-records.ts';
import { openBook } from '../../src/book/book.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { checkBook } from '../../src/book/check-book.ts';
import { importRecords } from '../../src/book/import-records.ts';
import { undoInBook } from '../../src/book/undo-change.ts';
import { csvLine, fromHarmless, harmless } from '../../src/domain/csv-writer.ts';
import { fieldsOf } from '../../src/domain/records/fields.ts';
import { BOOK_KINDS, type BookRecord } from '../../src/domain/records/record.ts';
import { bookTables, recordsFromBookCsv } from '../../src/formats/book-csv.ts';
import { bookJson, recordsFromBookJson } from '../../src/formats/book-json.ts';
import { splitDelimited } from '../../src/formats/delimited.ts';
import { block, filesInMemory, line, mix, put, steadyWorld } from './book-maker.ts';
import { memoryBookStore } from './memory-book-store.ts';

const emptyBook = () =>
  openBook({ store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() });

/** Texts that a spreadsheet or a careless reader would change. */
const NASTY = [
  '=1+1',
  "'=1+1",
  "''",
  '+49 30',
  '-',
  '@SUM(A1)',
  '＝1',
  'a, b',
  'you said "no"',
  '007',
  '1e5',
  'true',
  'null',
  '[1]',
  '{}',
  '½ Söndag 潮だまり 🦀',
];

async function nastyBook() {
  const book = emptyBook();
  const steps = [
    line('l', '=cmd'),
    block('b', 'l', { price: { minor: 250, currency: 'EUR' }, note: ' =1\n\t"x", \n' }),
    ...NASTY.map((text, i) => mix(`n${i}`, [['block', 'b', 0.1 + 0.2 * i]], { name: text })),
    ...NASTY.map((text, i) => put('collection', `t${i}`, { name: text, note: `${text}\n${text}` })),
    put('tile', 'own', {
      of: { parts: [{ of: { kind: 'block', id: 'b' }, parts: 1 / 3 }] },
      basis: 'weight',
      state: 'raw',
      bakes: [],
    }),
    put('tile', 'of', {
      of: { kind: 'block', id: 'b' },
      basis: 'volume',
      state: 'baked',
      bakes: [{ minutes: 30, setTempC: 120 }],
    }),
    put('reading', 'r', {
      of: { kind: 'tile', id: 'of' },
      readingKind: 'measured',
      state: 'baked',
      lab: { values: [50.1, -1e-7, 0.1 + 0.2], light: 'D50', observer: 2 },
      spread: 0.5,
      geometry: 'excluded',
      override: { note: '=looks greener' },
    }),
    put('stock-entry', 'm', {
      of: { kind: 'block', id: 'b' },
      on: '2026-01-01',
      why: 'counted',
      foundG: 5,
    }),
    put('settings', 'settings', {
      units: { length: 'mm', mass: 'g', temp: 'C', volume: 'ml' },
      shortNames: [{ shortName: '=', of: { kind: 'block', id: 'b' } }],
    }),
  ];
  await changeBook(book, { what: 'Began', steps });
  await changeBook(book, { what: 'Deleted', steps: [{ do: 'delete', id: 'n3', version: 1 }] });
  await changeBook(book, {
    what: 'Changed',
    steps: [mix('n4', [['block', 'b', 2]], { name: 'other' }, 1)],
  });
  return book;
}

const take = (records: readonly BookRecord[], replace = false) => ({
  records,
  files: [],
  what: 'Took in',
  replace,
});

describe('an export', () => {
  it('as JSON, taken into an empty book, gives the same bytes again', async () => {
    const text = bookJson(await allRecords((await nastyBook()).ports.store));
    const other = emptyBook();
    await importRecords(other, take(recordsFromBookJson(text, 'x')));
    expect((await checkBook(other)).troubles).toEqual([]);
    expect(bookJson(await allRecords(other.ports.store))).toBe(text);
  });

  it('as CSV, taken into an empty book, gives the same bytes again', async () => {
    const records = await allRecords((await nastyBook()).ports.store);
    const tables = bookTables(records);
    const other = emptyBook();
    const read = [...tables].flatMap(([kind, text]) => recordsFromBookCsv(text, `${kind}.csv`));
    await importRecords(other, take(read));
    const again = await allRecords(other.ports.store);
    expect(bookTables(again)).toEqual(tables);
    expect(bookJson(again)).toBe(bookJson(records));
  });

  it('taken twice changes nothing the second time, and is undone in one step', async () => {
    const book = await nastyBook();
    const records = await allRecords(book.ports.store);
    const other = emptyBook();
    expect(await importRecords(other, take(records))).toMatchObject({ fresh: records.length });
    const again = await importRecords(other, take(records));
    expect(again).toEqual({ fresh: 0, replaced: 0, same: records.length });
    await undoInBook(other);
    expect([...(await other.ports.store.counts()).values()].every(({ live }) => live === 0)).toBe(
      true,
    );
  });

  it('that says something else is refused whole, or put over as a newer version', async () => {
    const book = await nastyBook();
    const records = await allRecords(book.ports.store);
    const changed = records.map((record) =>
      record.id === 'l'
        ? ({ ...record, body: { ...record.body, name: 'Saltmarsh' } } as BookRecord)
        : record,
    );
    const before = bookJson(records);
    await expect(importRecords(book, take(changed))).rejects.toMatchObject({
      code: 'import-clash',
    });
    expect(bookJson(await allRecords(book.ports.store))).toBe(before);
    expect(await importRecords(book, take(changed, true))).toMatchObject({ replaced: 1, fresh: 0 });
    expect(await book.ports.store.get('l')).toMatchObject({
      version: 2,
      body: { name: 'Saltmarsh' },
    });
    await undoInBook(book);
    expect(await book.ports.store.get('l')).toMatchObject({ version: 3, body: { name: '=cmd' } });
  });

  it('of a photo without its bytes is refused', async () => {
    const records = await allRecords((await nastyBook()).ports.store);
    const sha256 = 'a'.repeat(64);
    const photo = {
      ...records[0],
      kind: 'photo',
      id: 'p',
      body: { sha256, bytes: 1, mediaType: 'image/png' },
    } as BookRecord;
    await expect(importRecords(emptyBook(), take([photo]))).rejects.toMatchObject({
      code: 'file-missing',
    });
  });

  it.each([
    ['{', 'the JSON is damaged or cut off'],
    ['[]', 'not an export'],
    ['{"format":"kneadwell-book","version":3,"records":[]}', 'newer'],
    ['{"format":"kneadwell-book","version":2,"records":[{"kind":"lot"}]}', 'record 1'],
    ['{"format":"kneadwell-book","version":1,"records":[{"kind":"line"}]}', 'record 1'],
  ])('that is none, %s, is refused in one sentence', (text, says) => {
    expect(() => recordsFromBookJson(text, 'x.json')).toThrow(says);
  });

  it.each([
    ['kind,id,version,createdAt,changedAt,nom\nline,l,1,x,x,y\n', 'no field "nom"'],
    ['kind,id\nline\n', 'line 2 has 1 cells'],
    ['kind,id\nwhale,l\n', 'no kind'],
    ['kind,id\n"line,l\n', 'line 2, column 1: found an open quote'],
    ['kind,kind\nline,l\n', 'twice'],
    ['kind,id,version,createdAt\nline,l,"1,x\n', 'line 2, column 3: found an open quote'],
  ])('as CSV that is none, %j, is refused in one sentence', (text, says) => {
    expect(() => recordsFromBookCsv(text, 'x.csv')).toThrow(says);
  });
});

describe('a table for spreadsheets', () => {
  it('holds no text cell that would run', async () => {
    const tables = bookTables(await allRecords((await nastyBook()).ports.store));
    let texts = 0;
    for (const [kind, text] of tables) {
      const [head, ...rest] = splitDelimited(text, ',', { file: 'x.csv', exact: true });
      for (const { cells } of rest) {
        for (const [i, { text: cell }] of cells.entries()) {
          const heading = head.cells[i].text;
          if (fieldsOf(kind).find(({ path }) => path === heading)?.as !== 'text') continue;
          texts++;
          expect(cell).not.toMatch(/^[=+\-@\t\r＝＋－＠]/);
        }
      }
    }
    expect(texts).toBeGreaterThan(NASTY.length);
  });

  it('gives back any cells, and any text it made harmless', () => {
    const text = fc.string({ unit: 'grapheme' }).map((s) => s.replaceAll('\r', ''));
    const cell = fc.oneof(text, fc.constantFrom(...NASTY, '', '"', ',', '\n', ' x '));
    fc.assert(
      fc.property(
        fc.array(fc.array(cell, { minLength: 1, maxLength: 4 }), { minLength: 1 }),
        (rows) => {
          // A row of one empty cell is an empty line, which readers drop at the end of a file.
          const table = rows.map((cells) =>
            cells.length === 1 && cells[0] === '' ? ['x'] : cells,
          );
          const text = table.map(csvLine).join('');
          const read = splitDelimited(text, ',', { file: 'x.csv', exact: true });
          expect(read.map(({ cells }) => cells.map((one) => one.text))).toEqual(table);
        },
      ),
      { seed: 11, numRuns: 300 },
    );
    fc.assert(
      fc.property(cell, (said) => {
        expect(fromHarmless(harmless(said))).toBe(said);
        expect(harmless(said)).not.toMatch(/^[=+\-@\t\r]/);
      }),
      { seed: 12, numRuns: 500 },
    );
  });

  it('has a column for every field of every kind, each once', () => {
    for (const kind of BOOK_KINDS) {
      const paths = fieldsOf(kind).map(({ path }) => path);
      expect(new Set(paths).size, kind).toBe(paths.length);
      expect(paths.length, kind).toBeGreaterThan(1);
    }
    expect(fieldsOf('block').map(({ path }) => path)).toContain('price.minor');
    expect(fieldsOf('tile').map(({ path }) => path)).toEqual(
      expect.arrayContaining(['of.kind', 'of.id', 'of.parts']),
    );
  });
});
