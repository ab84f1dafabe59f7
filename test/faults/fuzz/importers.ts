import { readFileSync } from 'node:fs';
import { AppError } from '../../../src/core/errors.ts';
import { parseRecipe } from '../../../src/core/notation/notation.ts';
import { readShorthandBlock } from '../../../src/core/notation/shorthand-block.ts';
import { clayFileFromBytes } from '../../../src/domain/clay-file-codec.ts';
import { recordsFromBookCsv } from '../../../src/formats/book-csv.ts';
import { recordsFromBookJson } from '../../../src/formats/book-json.ts';
import { readReadings } from '../../../src/formats/readings.ts';
import { readRecipesCsv } from '../../../src/formats/recipes-csv.ts';
import { readStockCsv } from '../../../src/formats/stock-csv.ts';
import { readVerdictsCsv } from '../../../src/formats/verdicts-csv.ts';
import { imageSize } from '../../../src/imaging/image-size.ts';
import { chanceFrom, damaged } from './random.ts';

const ROOT = new URL('../../../', import.meta.url);
const bytesOf = (path: string) => new Uint8Array(readFileSync(new URL(path, ROOT)));
const textOf = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
const utf8 = (text: string) => new TextEncoder().encode(text);

interface Importer {
  readonly name: string;
  /** Files as they ought to be, to begin from. */
  readonly seeds: readonly Uint8Array[];
  read(bytes: Uint8Array): unknown;
}

const RECORD =
  '{"kind":"line","id":"salt","version":1,"createdAt":"2026-01-01T00:00:01.000Z","changedAt":"2026-01-01T00:00:01.000Z","body":{"name":"Saltmarsh","status":"current"}}';

const NOTE_WORDS = {
  shortNames: ['G', 'Y', 'W'].map((word) => ({ word, clay: word })),
  names: [
    { word: 'Kelp green', clay: 'G' },
    { word: `Name of ${'very '.repeat(15)}long clay`, clay: 'Y' },
    { word: 'M', clay: 'mica', powder: true },
  ],
};

const IMPORTERS: readonly Importer[] = [
  {
    name: 'readings, CSV and CGATS',
    seeds: [
      bytesOf('data/demo/tide-pool.csv').subarray(0, 3000),
      bytesOf('data/demo/spectra.csv').subarray(0, 3000),
      bytesOf('test/oracles/formats/tints.csv'),
      bytesOf('test/oracles/formats/tints-spectral-lab.ti3'),
    ],
    read: (bytes) => readReadings(bytes, 'fuzzed', 'volume'),
  },
  {
    name: 'recipes, CSV',
    seeds: [utf8('of,basis\n5 Kelp + 2 Foam,volume\n"3 (2 Kelp + 1 Foam) + 1 Sand",\n')],
    read: (bytes) => readRecipesCsv(bytes, 'fuzzed'),
  },
  {
    name: 'verdicts, CSV',
    seeds: [
      utf8(
        'trial,A,B,C,nearest,how\n1,2 Kelp,1 Foam,3 Kelp + 1 Foam,B,darker greener\n2,Kelp,,,,\n',
      ),
    ],
    read: (bytes) => readVerdictsCsv(bytes, 'fuzzed'),
  },
  {
    name: 'stock, CSV',
    seeds: [utf8('name,line,grams,price,density\nKelp,Saltmarsh,57,2.49,1.7\nFoam,Brindle,,,\n')],
    read: (bytes) => readStockCsv(bytes, 'fuzzed'),
  },
  {
    name: 'a book, JSON',
    seeds: [utf8(`{"format":"kneadwell-book","version":1,"records":[${RECORD}]}`)],
    read: (bytes) => recordsFromBookJson(textOf(bytes), 'fuzzed'),
  },
  {
    name: 'a book, CSV',
    seeds: [
      utf8(
        'kind,id,version,createdAt,changedAt,name,status\nline,salt,1,2026-01-01T00:00:01.000Z,2026-01-01T00:00:01.000Z,Saltmarsh,current\n',
      ),
    ],
    read: (bytes) => recordsFromBookCsv(textOf(bytes), 'fuzzed'),
  },
  {
    name: 'a clay file',
    seeds: [utf8('{"format":"kneadwell-clay","version":3,"clays":[{"name":"Kelp"}],"seal":""}')],
    read: (bytes) => clayFileFromBytes(bytes, 'fuzzed'),
  },
  {
    name: 'a recipe in words',
    seeds: [
      utf8('5 Kelp + 2 Foam'),
      utf8('3 (2 Kelp + 1 "Foam + x") + 1,5 Sand'),
      utf8('3 x Kelp'),
    ],
    read: (bytes) => parseRecipe(textOf(bytes)),
  },
  {
    name: 'pasted notes',
    seeds: [
      utf8(
        'K7 sea moss: 3G 1Y ½W 2%M #weeds by weight // pale\nK8: 1K7 1Y\nSand: 2 Kelp green, 1 Y\n',
      ),
      utf8('code\tname\tG\tY\nK1\tMoss\t3\t1\nK2\t"Sea weed"\t1/3\t2/7\n'),
      utf8('A1: 1A2\nA2: 1A3\nA3: 1A1\n"Kelp green" 3 "Y" 1\n'),
    ],
    read: (bytes) => readShorthandBlock(textOf(bytes), NOTE_WORDS),
  },
  {
    name: 'the head of a picture',
    seeds: [
      Buffer.from('89504e470d0a1a0a0000000d49484452000000280000001e0802000000', 'hex'),
      Buffer.from('ffd8ffe000104a46494600010100000100010000ffc0000b08001e002801011100', 'hex'),
      Buffer.from(
        '49492a00080000000200000103000100000028000000010103000100000001e000000000',
        'hex',
      ),
      Buffer.from(
        '0000001866747970686569630000000068656963000000246d657461000000000000001869707270000000106970636f000000146973706500000000000000280000001e',
        'hex',
      ),
    ],
    read: (bytes) => imageSize(bytes),
  },
];

/** One file that takes longer hangs. */
const MOST_MS = 10_000;

export interface ImportsFuzzed {
  readonly inputs: number;
  readonly taken: number;
  readonly refused: number;
  readonly slowestMs: number;
}

/** Damaged files into every importer. Refuses: what throws anything but a fault for people, or hangs */
export function fuzzImporters(inputs: number, seed: number): ImportsFuzzed {
  const chance = chanceFrom(seed);
  let taken = 0;
  let refused = 0;
  let slowestMs = 0;
  for (let i = 0; i < inputs; i++) {
    const importer = IMPORTERS[i % IMPORTERS.length];
    const bytes = damaged(chance.pick(importer.seeds), chance);
    const from = performance.now();
    try {
      importer.read(bytes);
      taken++;
    } catch (fault) {
      if (!(fault instanceof AppError) || fault.kind === 'internal') {
        throw new Error(
          `${importer.name}: ${Buffer.from(bytes).toString('base64').slice(0, 4000)}`,
          {
            cause: fault,
          },
        );
      }
      refused++;
    }
    const ms = performance.now() - from;
    slowestMs = Math.max(slowestMs, ms);
    if (ms > MOST_MS) throw new Error(`${importer.name} took ${Math.round(ms)} ms`);
  }
  return { inputs, taken, refused, slowestMs };
}
