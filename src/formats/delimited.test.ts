import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AppError } from '../core/errors.ts';
import { FILE_LIMITS } from '../domain/text-file.ts';
import { type Separator, splitDelimited } from './delimited.ts';

const cut = (text: string, separator: Separator = ',') =>
  splitDelimited(text, separator, { file: 'tiles.csv' }).map((row) => [
    row.line,
    ...row.cells.map((cell) => cell.text),
  ]);

describe('cutting a separated text', () => {
  // RFC 4180 section 2, rules 1 to 7, with its own examples.
  it.each<[string, string, unknown[][]]>([
    [
      '1: CR LF',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
      [
        [1, 'aaa', 'bbb', 'ccc'],
        [2, 'zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '2: no last break',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx',
      [
        [1, 'aaa', 'bbb', 'ccc'],
        [2, 'zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '5: quotes',
      '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
      [
        [1, 'aaa', 'bbb', 'ccc'],
        [2, 'zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '6: break inside',
      '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
      [
        [1, 'aaa', 'b\r\nbb', 'ccc'],
        [3, 'zzz', 'yyy', 'xxx'],
      ],
    ],
    ['7: doubled quote', '"aaa","b""bb","ccc"', [[1, 'aaa', 'b"bb', 'ccc']]],
  ])('RFC 4180 rule %s', (_rule, text, rows) => {
    expect(cut(text)).toEqual(rows);
  });

  it('leaves out rows without text, and counts their lines', () => {
    expect(cut('a,b\n\n,\n  \n1,2\r3,4\n')).toEqual([
      [1, 'a', 'b'],
      [5, '1', '2'],
      [6, '3', '4'],
    ]);
  });

  it('reads a quote inside a cell as a letter', () => {
    expect(cut('T1,2 "Kelp" + Sand,4')).toEqual([[1, 'T1', '2 "Kelp" + Sand', '4']]);
  });

  it('cuts at no other separator', () => {
    expect(cut('a;b\t c', ';')).toEqual([[1, 'a', 'b\t c']]);
    expect(cut('a;b\t c', '\t')).toEqual([[1, 'a;b', 'c']]);
    expect(cut('0,16 P01; x', '')).toEqual([[1, '0,16 P01; x']]);
  });

  it.each([
    ['a,b\n1,"2\n3,4\n', 'line 2, column 2: found an open quote'],
    ['a,b\n"1\n2"x,3\n', 'line 3, column 1: found "x" after a closing quote'],
    [
      `a,b\n1,${'x'.repeat(FILE_LIMITS.cellCharacters + 1)}`,
      'line 2, column 2: found 10001 characters',
    ],
    [','.repeat(FILE_LIMITS.columns), 'line 1, column 501: found more columns'],
    ['a\n'.repeat(FILE_LIMITS.rows + 2), `line ${FILE_LIMITS.rows + 2}: found more rows`],
  ])('refuses %#', (text, message) => {
    expect(() => cut(text)).toThrow(AppError);
    expect(() => cut(text)).toThrow(`tiles.csv, ${message}`);
  });

  it('gives back what was written by the rules of RFC 4180', () => {
    const cell = fc
      .array(fc.constantFrom('a', '"', ',', ';', '\n', '\r\n', ' ', 'é', '0'), { maxLength: 6 })
      .map((letters) => letters.join('').trim());
    const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { maxLength: 5 });
    fc.assert(
      fc.property(table, fc.constantFrom<Separator>(',', ';', '\t'), (rows, separator) => {
        const text = rows
          .map((row) => row.map((c) => `"${c.replaceAll('"', '""')}"`).join(separator))
          .join('\r\n');
        const read = splitDelimited(text, separator, { file: 'tiles.csv' });
        const written = rows.filter((row) => row.some((c) => c !== ''));
        expect(read.map((row) => row.cells.map((c) => c.text))).toEqual(written);
      }),
      { numRuns: 1000 },
    );
  });
});
