import { describe, expect, it } from 'vitest';
import { formatRecipe } from '../core/notation/notation.ts';
import { readRecipesCsv } from './recipes-csv.ts';

const read = (text: string) => readRecipesCsv(new TextEncoder().encode(text), 'recipes.csv');
const written = (text: string) => read(text).recipes.map((row) => formatRecipe(row.of));

describe('a file of recipes', () => {
  it('may be one column, whose cells then need no quotes', () => {
    expect(written('of\n5 Kelp + 2 Foam\n0,16 P01 + 50 Foam\n')).toEqual([
      '5 Kelp + 2 Foam',
      '0.16 P01 + 50 Foam',
    ]);
  });

  it('ignores other columns, and returns basis and line', () => {
    const { recipes } = read(
      '# aims\nname;OF;Basis;price\nmud;Kelp + Foam;weight;3,50\nsky;2 Foam;;\n',
    );
    expect(recipes.map(({ basis, place, column }) => [basis, place.line, column])).toEqual([
      ['weight', 3, 2],
      [undefined, 4, 2],
    ]);
    expect(recipes[1].written).toBe('2 Foam');
  });

  it.each([
    ['name\nmud', 'line 1: found no such column among the headings, expected a column "of"'],
    ['of,OF\nKelp,Kelp', 'line 1, column 2: found "OF", expected each heading once'],
    ['of\n', 'found headings and no rows'],
    ['of,name\nKelp\n', 'line 2: found 1 cells, expected 2'],
    ['name,of\nmud,5 +\n', 'line 2, column 2 (of): In the recipe "5 +", character 3'],
    ['name,of\nmud,\n', 'line 2, column 2 (of): In the recipe "", character 1: found the end'],
    ['of,basis\nKelp,size\n', 'line 2, column 2 (basis): found "size", expected volume or weight'],
  ])('%j is refused', (text, message) => {
    expect(() => read(text)).toThrow(message);
  });
});
