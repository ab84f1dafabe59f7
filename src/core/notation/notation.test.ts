import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AppError } from '../errors.ts';
import { UNREADABLE } from './clay-name.ts';
import {
  clayKey,
  formatRecipe,
  parseRecipe,
  RECIPE_LIMITS,
  type Recipe,
  sharesOf,
} from './notation.ts';

const terms = (...pairs: [number, string][]): Recipe =>
  pairs.map(([parts, clay]) => ({ clay, parts }));

function errorOf(text: string): AppError {
  try {
    parseRecipe(text);
  } catch (error) {
    if (error instanceof AppError) return error;
    throw error;
  }
  throw new Error(`"${text}" was read`);
}

describe('reading a recipe', () => {
  it.each<[string, Recipe]>([
    ['Kelp', terms([1, 'Kelp'])],
    ['5 Kelp + 2 Foam', terms([5, 'Kelp'], [2, 'Foam'])],
    ['5 Kelp+2 Foam', terms([5, 'Kelp'], [2, 'Foam'])],
    ['50 White + 0.16 P01', terms([50, 'White'], [0.16, 'P01'])],
    ['50 White + 0,16 P01', terms([50, 'White'], [0.16, 'P01'])],
    ['.5 Kelp + 1e-3 Foam', terms([0.5, 'Kelp'], [0.001, 'Foam'])],
    ['3 x Kelp + 2× Foam', terms([3, 'Kelp'], [2, 'Foam'])],
    ['3x Kelp + 2×Foam', terms([3, 'Kelp'], [2, 'Foam'])],
    ['3 x + 2 y', terms([3, 'x'], [2, 'y'])],
    ['3 x-ray blue', terms([3, 'x-ray blue'])],
    ['5 parts Kelp + 1 part of Foam', terms([5, 'Kelp'], [1, 'Foam'])],
    [
      '2 Phthalo Blue (Green Shade) + black (a)',
      terms([2, 'Phthalo Blue (Green Shade)'], [1, 'black (a)']),
    ],
    ['2 "Kelp + Foam" + 1 "7 ""Sisters"""', terms([2, 'Kelp + Foam'], [1, '7 "Sisters"'])],
    ['  5   Tide \t pool  ', terms([5, 'Tide pool'])],
    ['3 (2 Kelp + 1 Foam) + 1 Sand', terms([2, 'Kelp'], [1, 'Foam'], [1, 'Sand'])],
    ['(Kelp + Foam)', terms([0.5, 'Kelp'], [0.5, 'Foam'])],
    [
      '4 (2 Kelp (dark) + 2 (1 Foam + 1 Sand))',
      terms([2, 'Kelp (dark)'], [1, 'Foam'], [1, 'Sand']),
    ],
    ['3 g + 1 kg', terms([3, 'g'], [1, 'kg'])],
    ['1/2 Kelp + 1 Foam', terms([0.5, 'Kelp'], [1, 'Foam'])],
    ['½ Kelp + ¼ Foam + 3/8 Sand', terms([0.5, 'Kelp'], [0.25, 'Foam'], [0.375, 'Sand'])],
    ['1 1/2 Kelp + 1½ Foam + 2 ½ Sand', terms([1.5, 'Kelp'], [1.5, 'Foam'], [2.5, 'Sand'])],
    ['⅓ Kelp + ⅔ Foam', terms([1, 'Kelp'], [2, 'Foam'])],
    ['1/3 Kelp + 1/2 Foam', terms([2, 'Kelp'], [3, 'Foam'])],
    ['3 (1/2 Kelp + ½ Foam) + 1/2 x Sand', terms([1.5, 'Kelp'], [1.5, 'Foam'], [0.5, 'Sand'])],
    ['30 % Kelp + 70 % Foam', terms([30, 'Kelp'], [70, 'Foam'])],
    ['12.5% Kelp + 87,5% Foam', terms([12.5, 'Kelp'], [87.5, 'Foam'])],
    ['33% Kelp + 33% Foam + 33% Sand', terms([33, 'Kelp'], [33, 'Foam'], [33, 'Sand'])],
    ['50 % (1 Kelp + 1 Foam) + 50 % Sand', terms([25, 'Kelp'], [25, 'Foam'], [50, 'Sand'])],
  ])('%s', (text, recipe) => {
    expect(parseRecipe(text)).toEqual(recipe);
  });

  it.each([
    ['', 1, 'the end', 'name of a clay'],
    ['5 Kelp + ', 10, 'the end', 'name of a clay'],
    ['5 Kelp ++ 2 Foam', 9, '"+ 2 Foam"', 'name of a clay'],
    ['5 + 2 Foam', 3, '"+ 2 Foam"', 'name of a clay after the amount'],
    ['-3 Kelp', 1, '"-3 Kelp"', 'an amount above 0'],
    ['2 Foam + −1,5 Kelp', 10, '"−1,5 Kelp"', 'an amount above 0'],
    ['0 Kelp', 1, '"0 Kelp"', 'parts between'],
    ['2 Foam + 0,0 Kelp', 10, '"0,0 Kelp"', 'parts between'],
    ['1e300 Kelp', 1, '"1e300 Kelp"', 'parts between'],
    ['5 Kelp, 2 Foam', 7, '", 2 Foam"', 'a plus'],
    ['5 Kelp and 2 Foam', 7, '" and 2 Foam"', 'a plus'],
    ['3:1 Kelp : Foam', 2, '":1 Kelp : Foam"', 'a space after the amount'],
    ['1,234 Kelp', 1, '"1,234 Kelp"', 'one way only'],
    ['1,234.5 Kelp', 6, '".5 Kelp"', 'one plain number'],
    ['1 000 Kelp', 3, '"000 Kelp"', 'name of a clay'],
    ['3Kelp', 2, '"Kelp"', 'a space after the amount'],
    ['1/2Kelp', 4, '"Kelp"', 'a space after the amount'],
    ['1/0 Kelp', 1, '"1/0 Kelp"', 'above 0 below the line'],
    ['5 g Kelp', 3, '"g Kelp"', 'a clay'],
    ['30 % Kelp', 1, '"30 % Kelp"', 'they add up to 30 %'],
    ['30 % Kelp + 60 % Foam', 1, '"30 % Kelp + 60 % Foam"', 'they add up to 90 %'],
    ['30 % Kelp + 2 Foam', 13, '"2 Foam"', 'per cent, as in the rest'],
    ['30 % Kelp + Foam', 13, '"Foam"', 'per cent, as in the rest'],
    ['=SUM(A1)', 1, '"=SUM(A1)"', 'name of a clay'],
    ['2 "Kelp', 3, '""Kelp"', 'a closing quote'],
    ['2 "Kelp" Foam', 10, '"Foam"', 'a plus or the end'],
    ['2 Kelp (a', 10, 'the end', 'a closing bracket'],
    ['2 Kelp)', 7, '")"', 'a plus or the end'],
    ['2 (Kelp + Foam', 15, 'the end', 'a closing bracket'],
    ['2 (Kelp) Foam', 10, '"Foam"', 'a plus or the end'],
    ['2 Kelp (1 Foam + 1 Sand)', 16, '"+ 1 Sand)"', 'without a plus'],
    ['2 Ke\u0000lp', 3, '"Ke\u00b7lp"', 'plain letters'],
  ])('refuses %j at character %i', (text, character, found, expected) => {
    const error = errorOf(text);
    expect(error.kind).toBe('bad-input');
    expect(error.code).toBe('recipe-unreadable');
    expect(error.detail).toContain(`character ${character}: found ${found}, expected `);
    expect(error.detail).toContain(expected);
    expect(error.hint).not.toBe('');
  });

  // In linear time: anything worse would run into the timeout.
  it('refuses huge input', () => {
    for (const text of [
      `1 ${'K'.repeat(3_000_000)}`,
      '('.repeat(RECIPE_LIMITS.characters),
      ' '.repeat(RECIPE_LIMITS.characters),
      '1 K + '.repeat(1_600),
      `1 ${'x '.repeat(4_900)}`,
      `1 ${'"'.repeat(9_000)}`,
    ]) {
      expect(errorOf(text).kind).toBe('bad-input');
    }
  });

  it('never gives a NaN, a 0 or an unreadable name, whatever the text', () => {
    const pieces = fc.constantFrom(
      '5',
      ' ',
      '+',
      '(',
      ')',
      '"',
      'x',
      ',',
      '.',
      'e',
      '-',
      'Kelp',
      '×',
      '0',
      '1/3',
      '½',
      '%',
    );
    const anyText = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 60 }),
      fc.array(pieces, { maxLength: 25 }).map((p) => p.join('')),
    );
    fc.assert(
      fc.property(anyText, (text) => {
        let recipe: Recipe;
        try {
          recipe = parseRecipe(text);
        } catch (error) {
          expect(error).toBeInstanceOf(AppError);
          return;
        }
        expect(recipe.length).toBeGreaterThan(0);
        for (const { clay, parts } of recipe) {
          expect(parts).toBeGreaterThan(0);
          expect(Number.isFinite(parts)).toBe(true);
          expect(clay.trim()).not.toBe('');
        }
        expect(parseRecipe(formatRecipe(recipe))).toEqual(recipe);
      }),
      { numRuns: 3000 },
    );
  });
});

const nameOf = fc
  .oneof(
    fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }),
    fc
      .array(
        fc.constantFrom(
          'x',
          ' ',
          '+',
          '(',
          ')',
          '"',
          '3',
          'g',
          ',',
          'part',
          'Kelp',
          'é',
          '×',
          '-',
          'and',
        ),
        { minLength: 1, maxLength: 8 },
      )
      .map((p) => p.join('')),
  )
  .map((name) => name.normalize('NFC').trim().replace(/\s+/gu, ' '))
  .filter((name) => name !== '' && !UNREADABLE.test(name));

const recipeOf = fc.array(
  fc.record({
    clay: nameOf,
    parts: fc.oneof(
      fc.integer({ min: 1, max: 1000 }),
      fc.double({ min: RECIPE_LIMITS.fewestParts, max: RECIPE_LIMITS.mostParts, noNaN: true }),
    ),
  }),
  { minLength: 1, maxLength: 6 },
);

describe('writing a recipe', () => {
  it('is read back as it was', () => {
    fc.assert(
      fc.property(recipeOf, (recipe) => {
        expect(parseRecipe(formatRecipe(recipe))).toEqual(recipe);
      }),
      { numRuns: 3000 },
    );
  });

  it('uses quotes only where a name needs them', () => {
    expect(formatRecipe(terms([5, 'Kelp'], [2, 'black (a)']))).toBe('5 Kelp + 2 black (a)');
    expect(formatRecipe(terms([1, 'Kelp']))).toBe('Kelp');
    expect(formatRecipe(terms([2, 'a + b'], [1, '7 Seas']))).toBe('2 "a + b" + 1 "7 Seas"');
  });

  it.each([[[]], [terms([0, 'Kelp'])], [terms([Number.NaN, 'Kelp'])], [terms([-1, 'Kelp'])]])(
    'refuses %j',
    (recipe) => {
      expect(() => formatRecipe(recipe)).toThrow(AppError);
      expect(() => sharesOf(recipe)).toThrow(AppError);
    },
  );
});

describe('the name of a clay', () => {
  it('is the same in other case, spacing and composition', () => {
    expect(clayKey('  Sea   Foam ')).toBe(clayKey('SEA FOAM'));
    expect(clayKey('Caf\u00e9')).toBe(clayKey('CAFE\u0301'));
    // Unicode CaseFolding.txt: U+00DF folds to "ss", final and plain sigma fold together.
    expect(clayKey('Stra\u00dfe')).toBe(clayKey('STRASSE'));
    expect(clayKey('\u03c3\u03ac\u03bb\u03bf\u03c2')).toBe(
      clayKey('\u03a3\u0386\u039b\u039f\u03a3'),
    );
    expect(clayKey('Kelp')).not.toBe(clayKey('Kelp 2'));
  });

  it('has a key that is its own key', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (name) => {
        expect(clayKey(clayKey(name))).toBe(clayKey(name));
      }),
      { numRuns: 3000 },
    );
  });
});

describe('shares', () => {
  it('sum to one, same clay added up, first spelling kept', () => {
    expect(sharesOf(terms([3, 'Kelp'], [4, 'Foam'], [1, ' KELP ']))).toEqual([
      { key: 'kelp', clay: 'Kelp', share: 0.5 },
      { key: 'foam', clay: 'Foam', share: 0.5 },
    ]);
    fc.assert(
      fc.property(recipeOf, (recipe) => {
        const shares = sharesOf(recipe);
        expect(shares.reduce((sum, s) => sum + s.share, 0)).toBeCloseTo(1, 12);
        expect(new Set(shares.map((s) => s.key)).size).toBe(shares.length);
      }),
    );
  });

  it('of a mix of a mix are those of its clays', () => {
    // 3 parts of (2/3 Kelp, 1/3 Foam) and 1 of Sand: exact by hand.
    const shares = sharesOf(parseRecipe('3 (4 Kelp + 2 Foam) + 1 Sand')).map((s) => s.share);
    expect(shares).toEqual([0.5, 0.25, 0.25]);
  });
});
