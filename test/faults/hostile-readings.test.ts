import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AppError } from '../../src/core/errors.ts';
import { ERROR_TABLE } from '../../src/domain/error-table.ts';
import { readingSchema } from '../../src/domain/records/reading.ts';
import { FILE_LIMITS } from '../../src/domain/text-file.ts';
import { readReadings } from '../../src/formats/readings.ts';
import { readRecipesCsv } from '../../src/formats/recipes-csv.ts';

const utf8 = (text: string) => new TextEncoder().encode(text);
const oracle = (name: string): Uint8Array =>
  readFileSync(new URL(`../oracles/formats/${name}`, import.meta.url));

const labCsv = utf8(
  '# tray 2\r\ntile,of,L,a,b,light,thicknessMm,backing,note\r\n' +
    'T1,5 Kelp + 2 Foam,45.2,-20,18.5,D65,3,80 %,"dull, ""dry"""\r\n' +
    'Caf\u00e9,"3 (2 Kelp + 1 Foam) + 1 ""a + b""",90.1,-1,2,D50,,,\r\n',
);
const semicolons = utf8('tile;of;L;a;b\nT1;0,16 P01 + 50 Foam;45,2;-20;18,5\n');
const samples: readonly (readonly [string, Uint8Array])[] = [
  ['a CSV of Lab', labCsv],
  ['a CSV with semicolons', semicolons],
  [
    'a CSV in UTF-16',
    new Uint8Array(Buffer.from('\ufefftile,of,L,a,b\nT1,Kelp,45,0,0\n', 'utf16le')),
  ],
  ['a CSV of spectra', oracle('tints.csv')],
  ['a CGATS text of spectra', oracle('tints-spectral-lab.ti3')],
];

type Outcome = 'read' | 'refused';

/** Reads the file and checks the result: valid readings, or one error with its place. */
function outcomeOf(bytes: Uint8Array): Outcome {
  try {
    const { readings } = readReadings(bytes, 'tiles.csv');
    expect(readings.length).toBeGreaterThan(0);
    // The schema refuses NaN, infinities, values out of range and readings without a colour.
    for (const reading of readings) readingSchema.parse(reading);
    return 'read';
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    expect(ERROR_TABLE[error.kind].exitCode).toBe(2);
    expect(error.code).toBe('file-unreadable');
    expect(error.detail).toMatch(
      /^tiles\.csv(, line [1-9]\d*(, column [1-9]\d*( \(.+\))?)?)?: (found|In the recipe) /su,
    );
    expect(error.detail).toContain(', expected ');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
    expect(error.detail).not.toMatch(/[\u0000-\u001f]/);
    expect(error.hint).not.toBe('');
    return 'refused';
  }
}

describe('a file that breaks off', () => {
  it.each(samples)('%s, cut at every byte', (_name, bytes) => {
    const outcomes: Record<Outcome, number> = { read: 0, refused: 0 };
    for (let length = 0; length < bytes.length; length++) {
      outcomes[outcomeOf(bytes.subarray(0, length))]++;
    }
    expect(outcomes.refused).toBeGreaterThan(0);
    expect(outcomeOf(bytes)).toBe('read');
  });

  it('in CGATS is never read short', () => {
    const bytes = oracle('tints-spectral-lab.ti3');
    const end = Buffer.from(bytes).lastIndexOf('END_DATA');
    for (let length = 0; length < end + 'END_DATA'.length; length++) {
      expect(outcomeOf(bytes.subarray(0, length))).toBe('refused');
    }
  });
});

describe('a file that was damaged', () => {
  it.each(samples)('%s, with bytes changed, put in and taken out', (_name, bytes) => {
    const harm = fc.array(
      fc.record({
        at: fc.nat(bytes.length - 1),
        byte: fc.oneof(fc.nat(255), fc.constantFrom(...utf8('",;\t\r\n#+-().eE0 %x'))),
        how: fc.constantFrom('change', 'insert', 'remove'),
      }),
      { minLength: 1, maxLength: 6 },
    );
    fc.assert(
      fc.property(harm, (harms) => {
        const changed = [...bytes];
        for (const { at, byte, how } of harms) {
          changed.splice(at, how === 'insert' ? 0 : 1, ...(how === 'remove' ? [] : [byte]));
        }
        outcomeOf(Uint8Array.from(changed));
      }),
      { numRuns: 600 },
    );
  });

  it('by mixing up its lines', () => {
    const lines = new TextDecoder().decode(oracle('tints-spectral-lab.ti3')).split('\n');
    fc.assert(
      fc.property(fc.shuffledSubarray(lines), (some) => {
        outcomeOf(utf8(some.join('\n')));
      }),
      { numRuns: 600 },
    );
  });
});

describe('bytes of any kind', () => {
  it('are read or refused', () => {
    const pieces = fc
      .array(
        fc.constantFrom(
          'tile',
          'of',
          'L',
          'a',
          'b',
          'R450',
          ',',
          ';',
          '\n',
          '"',
          '5 Kelp',
          '45',
          '#',
          'BEGIN_DATA',
          'BEGIN_DATA_FORMAT\n',
          'END_DATA',
          'SAMPLE_NAME ',
          'CGATS.17\n',
          '\u0000',
        ),
        { maxLength: 40 },
      )
      .map((parts) => utf8(parts.join('')));
    fc.assert(
      fc.property(fc.oneof(fc.uint8Array({ maxLength: 400 }), pieces), (bytes) => {
        outcomeOf(bytes);
        try {
          readRecipesCsv(bytes, 'recipes.csv');
        } catch (error) {
          if (!(error instanceof AppError)) throw error;
          expect(error.kind).toBe('bad-input');
        }
      }),
      { numRuns: 3000 },
    );
  });
});

// Each file is read in linear time. A quadratic pass over 16 MiB would run into the timeout.
describe('a file made to cost time', () => {
  const full = FILE_LIMITS.bytes - 200;
  const head = 'tile,of,L,a,b\n';
  const cgats =
    'CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n';
  it.each<[string, () => string]>([
    ['one long line', () => 'x'.repeat(full)],
    ['spaces before a letter', () => `${' '.repeat(full)}x`],
    ['empty lines', () => '\n'.repeat(full)],
    ['separators', () => ','.repeat(full)],
    ['quotes', () => `${head}T1,${'"'.repeat(full)}`],
    ['quotes in a heading', () => '"'.repeat(full)],
    ['many short rows', () => `${head}${'a\n'.repeat(full / 2)}`],
    ['many headings', () => Array.from({ length: 2_000_000 }, (_, i) => `R${i % 1000}`).join(',')],
    ['remarks', () => '#\n'.repeat(full / 2)],
    ['a recipe of pluses', () => `${head}T1,${'1 K+'.repeat(full / 4)},1,2,3`],
    ['a cell of spaces', () => `${head}T1,Kelp,${'1 '.repeat(4_900)},2,3`],
    ['a CGATS comment', () => `${cgats}"${'#'.repeat(full)}`],
    ['CGATS quotes', () => `${cgats}${'" '.repeat(full / 2)}`],
    ['CGATS spaces', () => `${cgats}Kelp${' '.repeat(full)}1 2 3\nEND_DATA`],
    ['CGATS values', () => `${cgats}${'1 '.repeat(full / 2)}\nEND_DATA`],
    [
      'CGATS keywords',
      () => `CGATS.17\n${Array.from({ length: 900_000 }, (_, i) => `K${i} ${i}`).join('\n')}`,
    ],
    [
      'one CGATS keyword',
      () => `CGATS.17\n${Array.from({ length: 200_000 }, (_, i) => `DESCRIPTOR ${i}`).join('\n')}`,
    ],
    ['CGATS fields', () => `CGATS.17\nBEGIN_DATA_FORMAT\n${'A '.repeat(full / 2)}`],
  ])('%s', (_name, text) => {
    const bytes = utf8(text());
    expect(bytes.length).toBeLessThanOrEqual(FILE_LIMITS.bytes);
    expect(['read', 'refused']).toContain(outcomeOf(bytes));
  });

  it('as large as is let in is read', () => {
    const row = 'T1,5 Kelp + 2 Foam,45.2,-20,18.5\n';
    const { readings } = readReadings(utf8(head + row.repeat(FILE_LIMITS.rows)), 'tiles.csv');
    expect(readings).toHaveLength(FILE_LIMITS.rows);
  });
});
