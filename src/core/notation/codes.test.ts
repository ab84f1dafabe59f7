import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  codeIndex,
  codeKey,
  lookalikeKey,
  missingStamps,
  type Stamp,
  suggestCodes,
} from './codes.ts';

const RUNS = { seed: 5503, numRuns: 300 };
const first = (codes: string[], stamps?: readonly Stamp[]) =>
  suggestCodes(codes, { count: 1, ...(stamps === undefined ? {} : { stamps }) }).codes[0];
const stampsOf = (characters: string, count?: number): Stamp[] =>
  [...characters].map((character) => ({ character, ...(count === undefined ? {} : { count }) }));

describe('two codes', () => {
  it.each([
    ['K7', 'k7', true],
    ['K7', ' k 7 ', true],
    ['Ｋ７', 'K7', true],
    ['K7', 'K-7', false],
    ['KO', 'K0', false],
    ['straße', 'STRASSE', true],
  ])('%s and %s are the same: %s', (one, other, same) => {
    expect(codeKey(one) === codeKey(other)).toBe(same);
  });

  it.each([
    ['KO', 'K0'],
    ['I7', '17'],
    ['l2', 'IZ'],
  ])('%s looks like %s', (one, other) => {
    expect(codeKey(one)).not.toBe(codeKey(other));
    expect(lookalikeKey(one)).toBe(lookalikeKey(other));
  });

  it('are found in a book as they are spelt there', () => {
    const index = codeIndex(['K 7', 'KO']);
    expect(index.same('k7')).toBe('K 7');
    expect(index.alike('k7')).toBeUndefined();
    expect(index.same('k0')).toBeUndefined();
    expect(index.alike('k0')).toBe('KO');
    expect(index.same('K8')).toBeUndefined();
  });

  it('keep their key when the key is made again', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 20 }), (code) => {
        expect(codeKey(codeKey(code))).toBe(codeKey(code));
        expect(lookalikeKey(lookalikeKey(code))).toBe(lookalikeKey(code));
      }),
      RUNS,
    );
  });
});

describe('the next code', () => {
  it.each<[string[], string]>([
    [[], '1'],
    [['K7'], 'K8'],
    [['K7', 'K8', 'K9'], 'K10'],
    [['007', '008'], '009'],
    [['K10', 'K20', 'K30'], 'K40'],
    [['A', 'B', 'C'], 'D'],
    [['x', 'y', 'z'], 'aa'],
    [['A1', 'B1', 'C1'], 'D1'],
    [['A1', 'A2', 'B1', 'B2'], 'B3'],
    [['K1', 'K2', 'G2'], 'G3'],
    [['24-a', '24-b'], '24-c'],
    [['S1/red', 'S2/red'], 'S3/red'],
    [['sea foam'], 'sea foam 2'],
    [['K1', 'K2', 'K3', 'K1b'], 'K2b'],
    [['K7', 'K6'], 'K8'],
    [['T99999999999999999999'], 'T100000000000000000000'],
  ])('after %j is %s', (codes, next) => {
    expect(first(codes)).toBe(next);
  });

  it('offers the other series next to the last', () => {
    expect(suggestCodes(['K1', 'G1', 'K2', 'G2', 'G3']).codes).toEqual(['G4', 'K3', 'G5']);
  });

  it('passes over what looks like a code of the book', () => {
    expect(first(['KlO', 'K9'])).toBe('K11');
  });
});

describe('stamps', () => {
  it('tells what is lacking, as often as it is', () => {
    const stamps: Stamp[] = [{ character: 'K', count: 1 }, ...stampsOf('1', 2), ...stampsOf('7')];
    expect(missingStamps('k 117777', stamps)).toEqual([]);
    expect(missingStamps('KK111-', stamps)).toEqual(['k', '1', '-']);
  });

  it('continues the pattern past the digits that are missing', () => {
    expect(first(['K3'], stampsOf('K12356'))).toBe('K5');
    expect(first(['K39'], stampsOf('K12356'))).toBe('K51');
  });

  it('makes codes of what there is where no pattern can be followed', () => {
    expect(suggestCodes(['moss'], { stamps: stampsOf('AB'), count: 4 }).codes).toEqual([
      'A',
      'B',
      'AA',
      'AB',
    ]);
  });

  it('says so when no code is left', () => {
    const all = suggestCodes([], { stamps: stampsOf('AB', 1), count: 9 });
    expect(all.codes).toEqual(['A', 'B', 'AB', 'BA']);
    expect(all.says).toMatch(/cannot make more/);
    expect(suggestCodes(['a', 'b', 'ab', 'ba'], { stamps: stampsOf('AB', 1) })).toMatchObject({
      codes: [],
      says: expect.stringMatching(/is used/),
    });
    expect(suggestCodes(['K1'], { stamps: [] }).codes).toEqual([]);
  });

  it('finds every code that is left, by counting them out', () => {
    // The plain way: every string of up to three characters that the stamps can make.
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.constantFrom('A', 'B', '7', 'O', '0'), { minLength: 1, maxLength: 3 }),
        fc.nat(6),
        (characters, drop) => {
          const stamps = stampsOf(characters.join(''), 1);
          const all = new Set<string>();
          const grow = (code: string, left: readonly string[]) => {
            if (code !== '') all.add(lookalikeKey(code));
            for (const c of left) {
              grow(
                code + c,
                left.filter((other) => other !== c),
              );
            }
          };
          grow('', characters);
          const used = [...all].slice(0, drop);
          const { codes } = suggestCodes(used, { stamps, count: 99 });
          expect(new Set([...used, ...codes.map(lookalikeKey)])).toEqual(all);
        },
      ),
      { ...RUNS, numRuns: 60 },
    );
  });
});

describe('suggestions', () => {
  const codes = fc.array(
    fc.oneof(
      fc.stringMatching(/^[A-Za-z]{0,2}[0-9]{1,3}[a-c]?$/),
      fc.stringMatching(/^[A-C]-?[0-9 OoIl]{1,2}$/),
      fc.string({ maxLength: 6 }),
    ),
    { maxLength: 30 },
  );

  it('never meet a code, what looks like one, or each other, and can be made with the stamps', () => {
    fc.assert(
      fc.property(codes, fc.boolean(), (book, held) => {
        const stamps = held ? stampsOf('ABCK012357', 2) : undefined;
        const found = suggestCodes(book, { count: 5, ...(stamps ? { stamps } : {}) });
        expect(found.codes).toHaveLength(5);
        const keys = [...new Set(book.map(lookalikeKey)), ...found.codes.map(lookalikeKey)];
        expect(new Set(keys).size).toBe(keys.length);
        for (const code of found.codes) {
          expect(codeKey(code)).not.toBe('');
          if (stamps) expect(missingStamps(code, stamps)).toEqual([]);
        }
      }),
      RUNS,
    );
  });
});
