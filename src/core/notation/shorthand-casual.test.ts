import { describe, expect, it } from 'vitest';
import { readShorthandBlock } from './shorthand-block.ts';

const words = {
  shortNames: [
    { word: 'G', clay: 'green' },
    { word: 'Y', clay: 'yellow' },
    { word: 'P', clay: 'pink' },
    { word: 'W', clay: 'white' },
    { word: 'B', clay: 'black' },
  ],
  names: [{ word: 'Half moon', clay: 'moon' }],
};
const first = (text: string) => readShorthandBlock(text, words).lines[0];
const partsOf = (text: string) => {
  const line = first(text);
  return line.kind === 'mix'
    ? line.mix.parts.map(({ clay, parts }) => `${parts} ${clay}`)
    : line.kind;
};

describe('amounts as people write them', () => {
  it.each([
    ['3P : 1W', ['3 pink', '1 white']],
    ['3P:1W', ['3 pink', '1 white']],
    ['3 P : 1 W : ½ B', ['3 pink', '1 white', '0.5 black']],
    ['dusk: 3P : 1W', ['3 pink', '1 white']],
    ['K7 dusk: 3 P : 1 W', ['3 pink', '1 white']],
    ['half W 2 B', ['0.5 white', '2 black']],
    ['a quarter of W, two parts B', ['0.25 white', '2 black']],
    ['dawn: W 2x, B 1x', ['2 white', '1 black']],
    ['dawn: 2x W, B', ['2 white', '1 black']],
    ['50% W 50% B', ['50 white', '50 black']],
    ['Q1: 1 Half moon 1 W', ['1 moon', '1 white']],
    ['K7: 3G 1Y', ['3 green', '1 yellow']],
    ['3G: 1Y 2W', ['1 yellow', '2 white']],
  ])('reads “%s”', (text, parts) => {
    expect(partsOf(text)).toEqual(parts);
  });
});

describe('a doubtful line', () => {
  it('never becomes a recipe by itself', () => {
    for (const text of ['A12 ??? 3? G 2 Y', 'sea: 3G ? Y', 'sea: 3? G 2Y']) {
      const line = first(text);
      expect(line.kind, text).toBe('errors');
      if (line.kind === 'errors') expect(line.errors[0].message).toContain('question mark');
    }
  });

  it('asks how much a pinch is, and names the place', () => {
    const line = first('rose: 3P 1W a pinch of B');
    expect(line).toMatchObject({
      kind: 'errors',
      head: { name: 'rose' },
      errors: [{ found: 'a pinch of', column: 13, pinch: true }],
    });
  });

  it('keeps a question in a note, and in a name in quotes', () => {
    expect(partsOf('"why ?": 3G 1Y // 3? or 4?')).toEqual(['3 green', '1 yellow']);
  });
});

describe('a list of letters', () => {
  it('is no mix, and says what each letter means', () => {
    expect(first('W white, K black')).toMatchObject({
      kind: 'remark',
      letters: [
        { letters: 'W', means: 'white' },
        { letters: 'K', means: 'black' },
      ],
    });
    expect(first('T = turquoise')).toMatchObject({ kind: 'remark' });
    expect(partsOf('G Y // a green, a yellow')).toEqual(['1 green', '1 yellow']);
  });

  it('is no mix either where the letters and the words name the same clays', () => {
    const known = {
      ...words,
      names: [
        { word: 'White', clay: 'white' },
        { word: 'Black', clay: 'black' },
      ],
    };
    expect(readShorthandBlock('W white, B black', known).lines[0].kind).toBe('remark');
    expect(readShorthandBlock('W black, B white', known).lines[0].kind).toBe('mix');
  });

  it('leaves unknown letters of recipes to be asked once', () => {
    const line = first('3T 1W');
    expect(line.kind === 'errors' && line.errors[0].unknown).toBe('T');
  });
});
