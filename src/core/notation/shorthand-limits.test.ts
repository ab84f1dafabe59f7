import { describe, expect, it } from 'vitest';
import { BLOCK_LIMITS, type BlockRead, readShorthandBlock } from './shorthand-block.ts';
import { readShorthandLine } from './shorthand-line.ts';
import { type VocabularyWords, vocabularyOf } from './shorthand-vocabulary.ts';

/** Many long names that begin alike, so that every place of a line may be the start of one. */
const WORDS: VocabularyWords = {
  shortNames: [
    { word: 'G', clay: 'green' },
    { word: 'Y', clay: 'yellow' },
  ],
  names: [
    { word: 'Sea moss', clay: 'moss' },
    ...Array.from({ length: 200 }, (_, i) => ({
      word: `Name of clay ${i} ${'x'.repeat(i % 180)}`.trim(),
      clay: `clay ${i}`,
    })),
  ],
};
const MIB = 2 ** 20;
const filled = (line: string) => `${line}\n`.repeat(Math.ceil(MIB / (line.length + 1)));
const errorsOf = ({ lines }: BlockRead) =>
  lines.flatMap((line) => (line.kind === 'errors' ? line.errors : []));

describe('notes that were made to be hard to read', () => {
  // Each took from half a minute to half an hour while the time grew faster than the text.
  it.each([
    ['one unknown letter a line', 'a'],
    ['beginnings of long names', 'N '.repeat(999)],
    ['amounts before beginnings of long names', '1 n '.repeat(490)],
    ['whole first words of long names', 'Name of clay '.repeat(150)],
    [
      'fractions without a common measure',
      Array.from({ length: 200 }, (_, i) => `1/${9000 + i} G`).join(' '),
    ],
  ])(
    'are read to the end or to the limits: %s',
    (_, line) => {
      const read = readShorthandBlock(filled(line), WORDS);
      expect(read.unreadable).toBeGreaterThan(0);
      expect(read.lines.length).toBeLessThanOrEqual(BLOCK_LIMITS.lines + 1);
    },
    30_000,
  );

  it('are cut at so many lines, and the first line past them says so', () => {
    const read = readShorthandBlock('G Y\n'.repeat(BLOCK_LIMITS.lines + 500), WORDS);
    expect(read).toMatchObject({ mixes: BLOCK_LIMITS.lines, unreadable: 1 });
    expect(read.lines.at(-1)?.line).toBe(BLOCK_LIMITS.lines + 1);
    expect(errorsOf(read)[0].message).toBe(
      'At most 20,000 lines are read at once. Import the rest from this line on separately.',
    );
  });

  it('are cut at so many letters, and the line that is cut says so', () => {
    const line = `G Y // ${'long '.repeat(300)}`.trim();
    const read = readShorthandBlock(filled(line), WORDS);
    expect(read.mixes).toBe(Math.floor(MIB / (line.length + 1)));
    expect(errorsOf(read).map(({ message }) => message)).toEqual([
      'At most 1,048,576 letters are read at once. Import the rest from this line on separately.',
    ]);
  });

  it('get suggestions for so many lines, and errors for all', () => {
    const read = readShorthandBlock('sea mos\n'.repeat(BLOCK_LIMITS.errors + 50), WORDS);
    const suggested = errorsOf(read).filter(({ nearest }) => nearest !== undefined);
    expect(suggested.length).toBe(BLOCK_LIMITS.errors);
    expect(read.unreadable).toBe(BLOCK_LIMITS.errors + 50);
  });

  it.each(['N '.repeat(999), 'K1 '.padEnd(2000, 'q'), `"${'q'.repeat(1990)}`])(
    'say in few words what is wrong with a long line: %#',
    (line) => {
      const [error] = errorsOf(readShorthandBlock(line, WORDS));
      expect(JSON.stringify(error).length).toBeLessThan(500);
    },
  );

  it('may make mixes of mixes only so deep', () => {
    const chain = (length: number) =>
      Array.from({ length }, (_, i) => `K${i}: ${i === 0 ? '' : `1K${i - 1} `}1Y`).join('\n');
    expect(readShorthandBlock(chain(BLOCK_LIMITS.depth), WORDS).unreadable).toBe(0);
    const deep = readShorthandBlock(chain(BLOCK_LIMITS.depth + 5), WORDS);
    expect(errorsOf(deep)).toMatchObject([
      {
        found: `K${BLOCK_LIMITS.depth}`,
        message: 'More than 100 mixes are made of one another in a row. Write this one with clays.',
      },
    ]);
  });
});

describe('a long name', () => {
  const words = vocabularyOf({
    shortNames: [],
    names: [
      { word: 'Sea-green no. 7 (old)', clay: 'a' },
      { word: 'Sea', clay: 'b' },
      { word: 'ΟΔΟΣ', clay: 'c' },
      { word: 'ΟΔΟΣ.Α', clay: 'd' },
      { word: 'n-'.repeat(45), clay: 'e' },
    ],
  });
  it.each([
    ['sea-green  NO. 7 (old)', 'a'],
    ['Sea-green', 'b'],
    ['οδος', 'c'],
    ['οδοσ.α', 'd'],
  ])('is found in the whole, or its beginning: %s', (text, clay) => {
    expect(words.match(text, 0)?.clay).toBe(clay);
  });

  it('of very many pieces is found in quotes', () => {
    const name = 'n-'.repeat(45);
    expect(words.match(name, 0)).toBeUndefined();
    expect(readShorthandLine(`2 "${name}"`, words)).toMatchObject({
      mix: { parts: [{ clay: 'e', parts: 2 }] },
    });
  });
});
