import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPublished } from './published-recipe.ts';

const partsOf = (text: string) =>
  readPublished(text).recipes.map(({ name, parts }) => [
    name,
    ...parts.map(({ clay, parts: count }) => `${count} ${clay}`),
  ]);

describe('a published recipe', () => {
  it.each([
    ['Moss: 2 parts of a warm yellow, 1 part dark blue', ['Moss', '2 warm yellow', '1 dark blue']],
    ['Moss = 2 yellow + 1/2 blue + ½ white', ['Moss', '2 yellow', '0.5 blue', '0.5 white']],
    ['Moss: two parts yellow and a part white', ['Moss', '2 yellow', '1 white']],
    ['Moss: 3 x yellow; 1 x black', ['Moss', '3 yellow', '1 black']],
    ['Moss: yellow x 2, white (3 parts)', ['Moss', '2 yellow', '3 white']],
    ['Moss: 1,5 parts yellow, 1 part white', ['Moss', '1.5 yellow', '1 white']],
    ['Moss: 1 part white, 1 part White', ['Moss', '2 white']],
    ['Moss\n- 2 parts warm yellow\n- 1 part white', ['Moss', '2 warm yellow', '1 white']],
    ['2 parts yellow, 1 part white', ['2 parts yellow, 1 part white', '2 yellow', '1 white']],
  ])('is read: %s', (text, wanted) => {
    expect(readPublished(text).faults).toEqual([]);
    expect(partsOf(text)).toEqual([wanted]);
  });

  it.each([
    'Moss: 20 g yellow, 10 g white',
    'Moss: a pinch of black, 2 parts white',
    'Moss: yellow, white',
    'Moss: 1 block yellow',
  ])('is refused where it is no number of parts: %s', (text) => {
    const { recipes, faults } = readPublished(text);
    expect(recipes).toEqual([]);
    expect(faults).toHaveLength(1);
    expect(faults[0].line).toBe(1);
  });

  it('is read or refused, never a fault of the program, whatever the text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 200 }), (text) => {
        const { recipes, faults } = readPublished(text);
        for (const { parts } of recipes)
          for (const part of parts) expect(part.parts).toBeGreaterThan(0);
        expect(Array.isArray(faults)).toBe(true);
      }),
      { numRuns: 300, seed: 5 },
    );
  });
});
