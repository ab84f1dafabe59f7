import { describe, expect, it } from 'vitest';
import { filterInWords, listQueryOf, questionFrom, questionInWords, sortOf } from './question.ts';

const names = {
  line: (id: string) => id.toUpperCase(),
  clay: (id: string) => id.toUpperCase(),
  box: () => 'Box 3',
  near: () => 'a dark green',
  grams: (g: number) => `${g} g`,
};

describe('what of the mix book is shown', () => {
  it('is read from an address, and what does not fit is left out', () => {
    const said = {
      find: 12,
      sort: 'upside down',
      colour: 'green',
      near: '50_-10_x',
      grams: '40',
      tile: 'with',
      within: 99,
      other: 1,
    };
    expect(questionFrom(said)).toEqual({ find: '12', colour: 'green', grams: 40, tile: 'with' });
  });

  it('is asked as the book understands it', () => {
    expect(listQueryOf({})).toEqual({ sort: 'changed', descending: 'true' });
    expect(listQueryOf({ find: '#sea weed' })).toMatchObject({ tag: 'sea weed' });
    expect(listQueryOf({ near: '50_-10.5_20', line: 'salt' })).toEqual({
      sort: 'near',
      l: 50,
      a: -10.5,
      b: 20,
      within: 7,
      line: 'salt',
    });
    expect(sortOf({ sort: 'near' })).toBe('changed');
    expect(sortOf({ sort: 'name', near: '50_0_0' })).toBe('name');
  });

  it('is said in one phrase, and each filter by itself', () => {
    const question = { colour: 'green', line: 'salt', grams: 40, find: 'moss' } as const;
    expect(questionInWords(question, names)).toBe(
      'Greens with SALT in them with enough stock for 40 g for “moss”',
    );
    expect(questionInWords({ tile: 'without', box: 'b', tag: 'weeds' }, names)).toBe(
      'Mixes in Box 3 without a tile tagged #weeds',
    );
    expect(filterInWords('grams', question, names)).toBe('enough stock for 40 g');
  });
});
