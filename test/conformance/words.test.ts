import { describe, expect, it } from 'vitest';
import { sourceTexts } from '../../tools/source-texts.ts';
import { oldWordsFound, wordsIn } from '../../tools/words-found.ts';

it('has no old word in the program, its tests, its tools and its documents', () => {
  const places = oldWordsFound().map(
    ({ path, line, word, instead }) => `${path}:${line} "${word}": ${instead}`,
  );
  expect(places).toEqual([]);
});

describe('the search for old words', () => {
  const code = [
    '// A note nobody reads.',
    'export const shownName = "a b";',
    "import { x } from './old.ts';",
    '/** Doc. */',
    'const view = <p title="tip">Some text</p>; // after',
  ].join('\n');

  it('reads comments, strings, texts of the page and names, and no module path', () => {
    const texts = sourceTexts('some.tsx', code).map(({ kind, text, line }) => [kind, text, line]);
    expect(texts).toEqual([
      ['comment', '// A note nobody reads.', 1],
      ['name', 'shownName', 2],
      ['string', 'a b', 2],
      ['comment', '/** Doc. */', 4],
      ['name', 'view', 5],
      ['name', 'title', 5],
      ['string', 'tip', 5],
      ['string', 'Some text', 5],
      ['comment', '// after', 5],
    ]);
  });

  it.each([
    ['The colour was foretold.', 'foretold'],
    ['Seek a colour', 'Seek'],
    ['Not now', 'Not now'],
    ['Keep it', 'Keep it'],
    ['10 when nothing is said', 'when nothing is said'],
    ['It lies in the box.', 'lies in'],
    ['a let-down of 1 : 9', 'let-down'],
    ['what she baked', 'she'],
  ])('finds the old word in "%s"', (text, word) => {
    expect(wordsIn('string', 'src/web/some.tsx', text)).toContain(word);
  });

  it('leaves plain sentences alone', () => {
    for (const text of ['Save', 'Leave it out.', 'neither a block nor a mix', 'the sheet']) {
      expect(wordsIn('string', 'src/web/some.tsx', text)).toEqual([]);
    }
  });

  it('finds old words in parts of a name', () => {
    expect(wordsIn('name', 'src/core/some.ts', 'nothingSought')).toEqual(['Sought']);
    expect(wordsIn('name', 'src/core/some.ts', 'soughtfulness')).toEqual([]);
  });
});
