import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AppError } from '../core/errors.ts';
import { readStockCsv } from './stock-csv.ts';

const read = (text: string) => readStockCsv(new TextEncoder().encode(text), 'stock.csv');

describe('a stock file', () => {
  it('gives what is written for every clay, and nothing else', () => {
    expect(
      read(
        [
          '# counted in spring',
          'clay,line,grams,pack-grams,price,density,note',
          'Foam,Saltmarsh,212.5,56,3.20,1.4,the last of the old lot',
          '"Kelp, dark",,,,,,',
          'Urchin,Brindle,0,57,0,,',
        ].join('\n'),
      ),
    ).toEqual([
      {
        name: 'Foam',
        line: 'Saltmarsh',
        onHandG: 212.5,
        priceMinorPerG: 320 / 56,
        packageG: 56,
        density: 1.4,
      },
      { name: 'Kelp, dark' },
      { name: 'Urchin', line: 'Brindle', onHandG: 0, priceMinorPerG: 0, packageG: 57 },
    ]);
  });

  it('is read with the separators and headings that spreadsheets and people use', () => {
    const plain = read('clay,pack-grams,price\nFoam,56,3.20\n');
    expect(read('\ufeffsep=;\r\nPack Grams;CLAY;Price\r\n56;Foam;3,20\r\n')).toEqual(plain);
    expect(read('clay\tpack_grams\tprice\tx-shelf\nFoam\t56\t3.2\ttop')).toEqual(plain);
    expect(read('clay,pack-grams,price\nFoam,56,"3,20"\n')).toEqual(plain);
    expect(read('clay\nFoam')).toEqual([{ name: 'Foam' }]);
    expect(read('clay,grams\n')).toEqual([]);
  });

  it.each([
    ['', 'found an empty file'],
    ['# nothing yet\n', 'found no headings, expected a line such as clay,line,grams'],
    ['line,grams\nSaltmarsh,3\n', 'line 1: found no such column among the headings'],
    ['clay,clay\nFoam,Foam\n', 'line 1, column 2: found "clay", expected each of clay, line'],
    ['clay,grmas\nFoam,3\n', 'line 1, column 2: found "grmas"'],
    ['clay,grams\nFoam,-3\n', 'line 2, column 2 (grams): found "-3", expected a number from 0'],
    ['clay,grams\nFoam,3\nKelp,two\n', 'line 3, column 2 (grams): found "two"'],
    ['clay,grams\nFoam,1e9\n', 'found "1e9"'],
    ['clay,grams\nFoam,NaN\n', 'found "NaN"'],
    ['clay,grams\nFoam,56 g\n', 'found "56 g"'],
    ['clay,grams\nFoam,2000000\n', 'expected a number from 0 to 1000000'],
    ['clay,density\nFoam,0\n', 'line 2, column 2 (density): found "0"'],
    ['clay,pack-grams,price\nFoam,0,3\n', 'line 2, column 2 (pack-grams): found "0"'],
    ['clay,price\nFoam,3.20\n', 'line 2, column 2 (price): found a price without the grams'],
    ['clay,pack-grams,price\nFoam,,3.20\n', 'line 2, column 3 (price)'],
    ['clay,grams\n,3\n', 'line 2, column 1 (clay): found nothing'],
    ['grams,clay\n3,Foam\n4, FOAM \n', 'line 3, column 2 (clay): found "FOAM" a second time'],
    ['clay,grams\nFoam,3,4\n', 'line 2: found 3 cells, expected 2'],
    ['clay,grams\nFoam\n', 'line 2: found 1 cells'],
    [`clay,grams\n"${'x'.repeat(500)}\u0007",?\n`, 'line 2, column 2'],
  ])('%j is refused with its place', (text, message) => {
    expect(() => read(text)).toThrow(AppError);
    expect(() => read(text)).toThrow(message);
  });

  it('of any bytes at all is read or refused, never in part', () => {
    const cell = fc.oneof(
      fc.constantFrom('clay', 'grams', 'price', 'Foam', '3', '-1', '"', '', '__proto__', '=1+1'),
      fc.string({ maxLength: 6 }),
    );
    const table = fc
      .array(
        fc.array(cell, { minLength: 1, maxLength: 4 }).map((cells) => cells.join(',')),
        { maxLength: 5 },
      )
      .map((rows) => new TextEncoder().encode(rows.join('\n')));
    fc.assert(
      fc.property(fc.oneof(table, fc.uint8Array({ maxLength: 80 })), (bytes) => {
        try {
          for (const row of readStockCsv(bytes, 'stock.csv')) {
            expect(row.name.trim()).not.toBe('');
            for (const value of [row.onHandG, row.priceMinorPerG, row.density]) {
              if (value !== undefined) expect(value).toBeGreaterThanOrEqual(0);
            }
          }
        } catch (error) {
          expect(error).toBeInstanceOf(AppError);
          expect((error as AppError).kind).toBe('bad-input');
        }
      }),
      { seed: 4, numRuns: 1000 },
    );
  });
});
