import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { UNREADABLE } from './clay-name.ts';
import { nearestNames } from './nearest-name.ts';
import { readShorthandBlock } from './shorthand-block.ts';
import { readHead, trimmed, writeHead } from './shorthand-head.ts';
import { readShorthandLine, SHORTHAND_LIMITS, type ShorthandMix } from './shorthand-line.ts';
import { shortNameProblem, type VocabularyWords, vocabularyOf } from './shorthand-vocabulary.ts';
import { writeShorthand } from './shorthand-writer.ts';

const RUNS = { seed: 5506, numRuns: 1000 };

const WORDS: VocabularyWords = {
  shortNames: [
    { word: 'G', clay: 'green' },
    { word: 'Y', clay: 'yellow' },
    { word: 'W', clay: 'white' },
    { word: 'x', clay: 'xanthe' },
    { word: '☆', clay: 'star' },
    { word: 'M', clay: 'mica', powder: true },
  ],
  names: [
    { word: 'Kelp green', clay: 'green' },
    { word: 'Sea moss', clay: 'moss' },
    { word: 'by and by', clay: 'by' },
    { word: 'half: "lit" #2 // sand', clay: 'sand' },
    { word: 'g', clay: 'gravel' },
    { word: 'Mica dust', clay: 'mica', powder: true },
  ],
  codes: [
    { word: 'K7', clay: 'mix k7' },
    { word: 'KO', clay: 'mix ko' },
  ],
};
const words = vocabularyOf(WORDS);
const PLAIN = vocabularyOf({
  ...WORDS,
  names: WORDS.names?.filter(({ word }) => word !== 'g') ?? [],
});

function mixOf(line: string, vocabulary = PLAIN): ShorthandMix {
  const read = readShorthandLine(line, vocabulary);
  if (read.kind !== 'mix') throw new Error(`${line}: ${JSON.stringify(read)}`);
  expect(read.raw).toBe(line);
  return read.mix;
}

function partsOf(line: string): string {
  const { parts, powders } = mixOf(line);
  return [
    ...parts.map(({ clay, parts: n }) => `${n} ${clay}`),
    ...powders.map(({ powder, share }) => `${share} ${powder}`),
  ].join(', ');
}

function errorsOf(line: string, vocabulary = PLAIN) {
  const read = readShorthandLine(line, vocabulary);
  if (read.kind !== 'errors') throw new Error(`${line}: ${JSON.stringify(read)}`);
  expect(read.raw).toBe(line);
  return read.errors;
}

describe('the parts of a line', () => {
  it.each([
    ['3G 1Y ½W', '3 green, 1 yellow, 0.5 white'],
    ['3G1Y½W', '3 green, 1 yellow, 0.5 white'],
    ['3 G + 1 Y, 1/2 W', '3 green, 1 yellow, 0.5 white'],
    ['3 × G & 1×Y; 1 1/2 W', '3 green, 1 yellow, 1.5 white'],
    ['1½G Y', '1.5 green, 1 yellow'],
    ['0,5 G, .25Y', '0.5 green, 0.25 yellow'],
    ['3G\t1Y\t2W', '3 green, 1 yellow, 2 white'],
    ['3g 1y', '3 green, 1 yellow'],
    ['3xG 1XY', '3 green, 1 yellow'],
    ['3 parts of Kelp green and 1 part W', '3 green, 1 white'],
    ['G 3 Y 1', '3 green, 1 yellow'],
    ['G3 Y1½', '3 green, 1.5 yellow'],
    ['G×3 Y x 2', '3 green, 2 yellow'],
    ['2K7 1W', '2 mix k7, 1 white'],
    ['2☆1W', '2 star, 1 white'],
    ['2 sea  moss 1"Sea moss"', '3 moss'],
    ['70% G 30% Y', '70 green, 30 yellow'],
    ['70% G Y', '70 green, 30 yellow'],
    ['3G 1Y 2%M', '3 green, 1 yellow, 0.02 mica'],
    ['1/3 G 1/2 Y', '2 green, 3 yellow'],
    ['⅓G ⅔Y', '1 green, 2 yellow'],
    ['3G 2x', '3 green, 2 xanthe'],
  ])('%s', (line, parts) => {
    expect(partsOf(`K8: ${line}`)).toBe(parts);
    expect(mixOf(`K8: ${line}`).basis).toBe('volume');
  });

  it('are weight with grams, or where the line message by weight', () => {
    const sparse = vocabularyOf({
      shortNames: WORDS.shortNames.filter(({ word }) => /[YW]/.test(word)),
    });
    expect(mixOf('3 x Y 2x W', sparse).parts).toMatchObject([{ parts: 3 }, { parts: 2 }]);
    expect(mixOf('30 g Y 10g of W', sparse)).toMatchObject({
      basis: 'weight',
      parts: [
        { clay: 'yellow', parts: 30 },
        { clay: 'white', parts: 10 },
      ],
    });
  });
});

describe('what comes around the parts', () => {
  it.each<[string, Partial<ShorthandMix>]>([
    ['K8 sea moss: 3G 1Y #weeds', { code: 'K8', name: 'sea moss', tags: ['weeds'] }],
    ['K8 sea moss 3G 1Y', { code: 'K8', name: 'sea moss' }],
    ['K8\tsea moss\t3G\t1Y', { code: 'K8', name: 'sea moss' }],
    ['moss\tsea 7\t3G', { code: 'moss', name: 'sea 7' }],
    ['sea moss = 3G 1Y', { name: 'sea moss' }],
    ['[deep K] 7 sisters: 3G', { code: 'deep K', name: '7 sisters' }],
    ['"7 sisters": 3G', { name: '7 sisters' }],
    ['12 3G 1Y', { code: '12' }],
    ['12: 3G 1Y', { code: '12' }],
    ['K8: 3G by weight // a bit pale: more Y', { basis: 'weight', note: 'a bit pale: more Y' }],
    ['K8: 3G #a #"deep sea" #a', { tags: ['a', 'deep sea'] }],
    ['K8: 3G // 5" rod', { note: '5" rod' }],
  ])('%s', (line, expected) => {
    expect(mixOf(line)).toMatchObject(expected);
  });

  it('may be nothing at all', () => {
    expect(mixOf('3G 1Y')).not.toHaveProperty('code');
    expect(readShorthandLine('  \t', words).kind).toBe('blank');
    expect(readShorthandLine('// from the blue book', words)).toMatchObject({
      kind: 'remark',
      text: 'from the blue book',
    });
  });
});

describe('what cannot be read', () => {
  it('is reported all at once, with its place and the word most like it', () => {
    const line = 'K7 moss: 3G 1Q 2 sea mos, 4 + 1M';
    expect(errorsOf(line).map(({ column, found, nearest }) => [column, found, nearest])).toEqual([
      [1, 'K7', undefined],
      [14, 'Q', undefined],
      [18, 'sea mos', 'Sea moss'],
      [27, '4', undefined],
      [31, '1M', undefined],
    ]);
  });

  it.each([
    ['K8:', 1 + 3, 'no parts'],
    ['K8: 1,234G', 5, 'two ways'],
    ['K8: 0G', 5, 'no amount'],
    ['K8: 1/0G', 5, '0 below the line'],
    ['K8: 3G 70%Y', 5, 'per cent'],
    ['K8: -1G 2Y', 5, 'is below 0'],
    ['K8: 2Y −½G', 8, 'is below 0'],
    ['K8: 3G "Y', 8, 'quote'],
    ['K8: 2k0', 6, 'KO'],
    ['K8: 3G 100%M', 8, 'no room'],
    ['K8: 3 x Y', 5, 'and a unit'],
    ['K8: 3g Y', 5, 'and a unit'],
    ['K8: 30ml Y 2W', 5, 'same unit'],
    ['k 7: 3G\u0000', 8, 'cannot be read'],
    ['[k 7]: 3G', 1, 'already used'],
    ['3G 2%', 4, 'No clay follows'],
    ['2 Qq 3G', 3, '"Qq" is not known'],
  ])('%s', (line, column, message) => {
    const [error] = errorsOf(line);
    expect(error.message).toContain(message);
    expect(error.column).toBe(column);
  });

  it('is never thrown and never lost', () => {
    const pieces = fc.constantFrom(
      ...['K8', ':', ' ', '3', 'G', '1/2', '½', '%', '"', '[', ']', '#', '//', '\t', 'x', ',', '.'],
      ...['sea', 'moss', 'M', 'by weight', 'g', '+', '=', 'and', 'ß', '\u0301', '☆', '0'],
    );
    const lines = fc.oneof(
      fc.array(pieces, { maxLength: 25 }).map((list) => list.join('')),
      fc.string({ unit: 'binary', maxLength: 60 }),
    );
    fc.assert(
      fc.property(lines, (line) => {
        const read = readShorthandLine(line, words);
        expect(read.raw).toBe(line);
        if (read.kind === 'mix') {
          expect(read.mix.parts.length).toBeGreaterThan(0);
          for (const { parts } of read.mix.parts) expect(parts > 0 && parts <= 1e6).toBe(true);
        }
        if (read.kind === 'errors') {
          expect(read.errors.length).toBeGreaterThan(0);
          for (const { column, length, message } of read.errors) {
            expect(column).toBeGreaterThanOrEqual(1);
            expect(column - 1 + length).toBeLessThanOrEqual(line.length);
            expect(message).not.toBe('');
          }
        }
      }),
      RUNS,
    );
    expect(readShorthandLine('x'.repeat(SHORTHAND_LIMITS.characters + 1), words).kind).toBe(
      'errors',
    );
  });
});

const plainText = (most: number) =>
  fc
    .oneof(
      fc.string({ maxLength: most }),
      fc.stringMatching(/^[A-Za-z0-9 :="#[\]/]{0,12}$/),
      fc.constantFrom(
        'sea moss',
        '7 sisters',
        'K9',
        '3G',
        'a // b',
        '[x]',
        'a: b',
        '"',
        'by weight',
      ),
    )
    .map(trimmed)
    .filter((text) => !UNREADABLE.test(text));

describe('writing', () => {
  it('gives back code and name', () => {
    fc.assert(
      fc.property(plainText(20), plainText(20), (code, name) => {
        const head = { ...(code === '' ? {} : { code }), ...(name === '' ? {} : { name }) };
        expect(readHead(writeHead(head))).toEqual(head);
      }),
      RUNS,
    );
  });

  it('gives a line that reads as the same mix', () => {
    const free = vocabularyOf({ ...WORDS, codes: [], newCodes: WORDS.codes ?? [] });
    const clays = [
      'green',
      'yellow',
      'white',
      'xanthe',
      'star',
      'moss',
      'by',
      'sand',
      'gravel',
      'mix k7',
    ];
    const counts = fc.oneof(
      fc.integer({ min: 1, max: 1_000_000 }),
      fc.integer({ min: 1, max: 1_000_000 }).map((n) => n / 1e6),
      fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
    );
    const mixes = fc
      .record({
        code: plainText(12),
        name: plainText(20),
        basis: fc.constantFrom('volume' as const, 'weight' as const),
        parts: fc.uniqueArray(fc.tuple(fc.constantFrom(...clays), counts), {
          selector: ([clay]) => clay,
          minLength: 1,
          maxLength: 5,
        }),
        dust: fc.option(fc.integer({ min: 1, max: 4000 }).map((n) => n / 10_000)),
        tags: fc.uniqueArray(
          plainText(10).filter((t) => t !== ''),
          { maxLength: 3 },
        ),
        note: plainText(20),
      })
      .map(
        ({ code, name, basis, parts, dust, tags, note }): ShorthandMix => ({
          ...(code === '' ? {} : { code }),
          ...(name === '' ? {} : { name }),
          basis,
          parts: parts.map(([clay, n]) => ({ clay, parts: n })),
          powders: dust === null ? [] : [{ powder: 'mica', share: dust }],
          tags,
          ...(note === '' ? {} : { note }),
        }),
      );
    fc.assert(
      fc.property(mixes, (mix) => {
        const written = writeShorthand(mix, free);
        if (written.status !== 'written') throw new Error(written.status);
        expect(readShorthandLine(written.line, free)).toEqual({
          raw: written.line,
          kind: 'mix',
          mix,
          notes: [],
        });
      }),
      RUNS,
    );
  });

  it('looks like the line that was typed', () => {
    const mix = mixOf('K8 sea moss: 3G 1Y ½W 2%M #weeds by weight // pale');
    expect(writeShorthand(mix, words)).toEqual({
      status: 'written',
      line: 'K8 sea moss: 3 G 1 Y 0.5 W 2% M #weeds by weight // pale',
    });
    expect(writeShorthand({ ...mix, parts: [{ clay: 'gone', parts: 1 }] }, words)).toEqual({
      status: 'no-word',
      clays: ['gone'],
    });
  });
});

describe('a short name', () => {
  it('is refused where a line could not hold it', () => {
    for (const shortName of ['', 'a b', '3G', '½', '#G', 'a:b', '"', '+', 'x'.repeat(21), '[G']) {
      expect(shortNameProblem(shortName)).toBeDefined();
    }
    for (const shortName of ['G', 'Gr2', '☆', 'é', 'g-'])
      expect(shortNameProblem(shortName)).toBeUndefined();
    const twice = vocabularyOf({
      shortNames: [
        { word: 'G', clay: 'green' },
        { word: 'G', clay: 'grey' },
      ],
    });
    expect(twice.refused).toMatchObject([{ shortName: 'G' }]);
    expect(twice.whole('G')?.clay).toBe('green');
  });

  it('differs from another by case where both are given', () => {
    const both = vocabularyOf({
      shortNames: [
        { word: 'G', clay: 'green' },
        { word: 'g', clay: 'grey' },
        { word: 'Ab', clay: 'one' },
        { word: 'aB', clay: 'two' },
      ],
    });
    expect(mixOf('M1: 2G 3g', both).parts.map((p) => p.clay)).toEqual(['green', 'grey']);
    expect(errorsOf('M1: 2AB', both)).toHaveLength(1);
  });
});

describe('pasted notes', () => {
  it('reads mixes of mixes in any order, and returns the lines that cannot be read', () => {
    const notes = '// blue book\n\nA2 pool: 2A1 1W\r\nA1 sea: 3G 1Y\nA3: 2Qq 1W\nA4: 1A3 1W';
    const { lines, mixes, unreadable } = readShorthandBlock(notes, WORDS);
    expect(lines.map(({ kind }) => kind)).toEqual([
      'remark',
      'blank',
      'mix',
      'mix',
      'errors',
      'mix',
    ]);
    expect([mixes, unreadable]).toEqual([3, 1]);
    expect(lines[2]).toMatchObject({ mix: { parts: [{ clay: 'line 4', parts: 2 }, {}] } });
    expect(lines[5]).toMatchObject({ notes: [expect.stringContaining('line 5')] });
    expect(lines.map(({ raw }) => raw).join('\n')).toBe(notes.replace('\r', ''));
  });

  it('refuses codes used twice and circles', () => {
    const { lines } = readShorthandBlock('A1: 2A2 1W\nA2: 1A1 1G\na 1x: 3G\nA1: 3G\nA5: A5', WORDS);
    const message = lines.map((line) => (line.kind === 'errors' ? line.errors[0].message : ''));
    expect(message[0]).toMatch(/A1, A2 are made of one another|A2, A1 are made/);
    expect(message[1]).toBe(message[0]);
    expect(message[3]).toMatch(/Line 1 already/);
    expect(message[4]).toMatch(/part of itself/);
  });

  it.each([
    [
      '\t',
      'code\tname\tmix\ttags\tnote\nA1\tsea, deep\t3G 1Y\tpool, new\tpale\nA2\tfoam\t2Qq 1W\t\t',
    ],
    [';', 'code;name;mix;tags;note\nA1;sea, deep;3G 1Y;pool, new;pale\nA2;foam;2Qq 1W;;'],
    [',', 'code,name,mix,tags,note\nA1,"sea, deep",3G 1Y,"pool, new",pale\nA2,foam,2Qq 1W,,'],
  ])('reads rows of a spreadsheet with headings, separated by %j', (_separator, notes) => {
    const { lines } = readShorthandBlock(notes, WORDS);
    expect(lines[0]).toMatchObject({ kind: 'remark' });
    expect(lines[1]).toMatchObject({
      kind: 'mix',
      mix: { code: 'A1', name: 'sea, deep', tags: ['pool', 'new'], note: 'pale' },
    });
    const row = lines[2];
    if (row.kind !== 'errors') throw new Error(row.kind);
    expect(row.errors[0]).toMatchObject({ column: row.raw.indexOf('Qq') + 1, found: 'Qq' });
    expect(row.head).toEqual({ code: 'A2', name: 'foam' });
  });

  it('reads a column for every clay', () => {
    const notes = 'code;G;Kelp green;Y;M;basis\nA1;3;;0,5;2%;weight\nA2;0;1;-;;\nA3;x;1;;;';
    const { lines } = readShorthandBlock(notes, WORDS);
    expect(lines[1]).toMatchObject({
      mix: {
        code: 'A1',
        basis: 'weight',
        parts: [
          { clay: 'green', parts: 3 },
          { clay: 'yellow', parts: 0.5 },
        ],
        powders: [{ powder: 'mica', share: 0.02 }],
      },
    });
    expect(lines[2]).toMatchObject({ mix: { parts: [{ clay: 'green', parts: 1 }] } });
  });

  it('never throws and returns every line', () => {
    const pieces = fc.constantFrom(
      ...[
        'code',
        'name',
        'mix',
        'G',
        ',',
        ';',
        '\t',
        '"',
        '\n',
        '\n',
        '3',
        'A1',
        ':',
        ' ',
        '#',
        'A2',
      ],
    );
    fc.assert(
      fc.property(fc.array(pieces, { maxLength: 60 }), (list) => {
        const notes = list.join('');
        const { lines } = readShorthandBlock(notes, WORDS);
        expect(lines.map(({ raw }) => raw).join('\n')).toBe(notes);
        for (const line of lines) {
          if (line.kind !== 'errors') continue;
          expect(line.errors.length).toBeGreaterThan(0);
          for (const { column } of line.errors) {
            expect(column >= 1 && column <= line.raw.length + 1).toBe(true);
          }
        }
      }),
      RUNS,
    );
  });
});

describe('the word most like an unknown one', () => {
  it('is the one that comparing every word letter by letter finds', () => {
    const names = Array.from({ length: 60 }, (_, i) => {
      const word = `${['Salt', 'Foam', 'Kelp', 'Sand'][i % 4]}${['marsh', ' green', 'y', 'pool'][i % 3]} ${i}`;
      return { word, clay: `n${i}` };
    });
    const vocabulary = vocabularyOf({ shortNames: [], names });
    const typed = fc
      .tuple(fc.constantFrom(...names), fc.nat(12), fc.string({ maxLength: 2 }), fc.nat(3))
      .map(([{ word }, at, put, out]) => word.slice(0, at) + put + word.slice(at + out));
    let near = 0;
    fc.assert(
      fc.property(typed, (word) => {
        const [plain] = nearestNames(
          word,
          names.map((name) => name.word),
        );
        if (plain !== undefined) near++;
        expect(vocabulary.nearest(word)).toBe(plain);
      }),
      RUNS,
    );
    expect(near).toBeGreaterThan(RUNS.numRuns / 2);
  });
});

describe('a word that may mean two clays', () => {
  const words = vocabularyOf({
    shortNames: [{ word: 'F', clay: 'foam' }],
    names: [
      { word: 'Kelp', clay: 'a' },
      { word: 'Saltmarsh Kelp', clay: 'a' },
      { word: 'kelp', clay: 'b' },
      { word: 'Brindle Kelp', clay: 'b' },
      { word: 'Foam', clay: 'foam' },
      { word: 'Moss', clay: 'c' },
      { word: 'Moss', clay: 'd' },
    ],
  });

  it('is asked for, with words that mean one clay each', () => {
    const read = readShorthandLine('K7: 3 Moss 1 KELP 1 F', words);
    expect(read.kind).toBe('errors');
    const errors = read.kind === 'errors' ? read.errors : [];
    expect(errors).toMatchObject([
      { found: 'Moss', column: 7, choices: [] },
      { found: 'KELP', column: 14, choices: ['Saltmarsh Kelp', 'Brindle Kelp'] },
    ]);
    expect(errors[1].message).toBe(
      'KELP may mean Saltmarsh Kelp or Brindle Kelp. Write the one you mean.',
    );
  });

  it('is taken as spelt where one alone is spelt so', () => {
    const read = readShorthandLine('K7: 3 Kelp 1 kelp', words);
    expect(read.kind === 'mix' ? read.mix.parts : read).toEqual([
      { clay: 'a', parts: 3 },
      { clay: 'b', parts: 1 },
    ]);
  });

  it('is written by a word of its own', () => {
    expect([words.wordFor('a'), words.wordFor('foam')]).toEqual(['Saltmarsh Kelp', 'F']);
    const twins = vocabularyOf({
      shortNames: [],
      names: [
        { word: 'Kelp', clay: 'a' },
        { word: 'Kelp', clay: 'b' },
        { word: 'Saltmarsh Kelp', clay: 'a' },
      ],
    });
    expect(twins.wordFor('a')).toBe('Saltmarsh Kelp');
  });
});
