import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { AppError } from '../../src/core/errors.ts';
import { formatRecipe, parseRecipe } from '../../src/core/notation/notation.ts';
import { readingSchema } from '../../src/domain/records/reading.ts';
import { bookJson, recordsFromBookJson } from '../../src/formats/book-json.ts';
import { readReadings } from '../../src/formats/readings.ts';
import { readRecipesCsv } from '../../src/formats/recipes-csv.ts';
import { readStockCsv } from '../../src/formats/stock-csv.ts';
import { readVerdictsCsv } from '../../src/formats/verdicts-csv.ts';

const page = readFileSync(new URL('../../docs/formats.md', import.meta.url), 'utf8');
const blocks = [...page.matchAll(/^```(\S+)[ ]?(.*)\n([\s\S]*?)^```$/gm)].map(
  ([, language, use, text]) => ({ language, use, text }),
);
const of = (language: string, use: string) =>
  blocks.filter((block) => block.language === language && block.use === use);
const bytes = (text: string) => new TextEncoder().encode(text);

describe('the examples in docs/formats.md', () => {
  it('are all of a kind this test runs', () => {
    const kinds = blocks.map((block) => `${block.language} ${block.use}`.trim());
    expect(kinds.toSorted()).toEqual(
      [
        'recipe',
        ...Array(4).fill('csv readings'),
        'json export',
        'json second-reading',
        'csv refused',
        'csv recipes',
        'csv verdicts',
        'csv stock',
        'cgats readings',
      ].toSorted(),
    );
  });

  it.each([...of('csv', 'readings'), ...of('cgats', 'readings')])('$language $#', ({ text }) => {
    const { readings } = readReadings(bytes(text), 'tiles.csv');
    expect(readings.length).toBeGreaterThan(1);
    for (const reading of readings) readingSchema.parse(reading);
  });

  it('give the reading that is shown', () => {
    const { readings } = readReadings(bytes(of('csv', 'readings')[0].text), 'tiles.csv');
    expect(readings[1]).toEqual(JSON.parse(of('json', 'second-reading')[0].text));
  });

  it('of an export give the same bytes again', () => {
    const { text } = of('json', 'export')[0];
    expect(bookJson(recordsFromBookJson(text, 'book.json'))).toBe(text);
  });

  it('that are refused give the place', () => {
    const read = () => readReadings(bytes(of('csv', 'refused')[0].text), 'tiles.csv');
    expect(read).toThrow(AppError);
    expect(read).toThrow('tiles.csv, line 1, column 6: found "finnish"');
  });

  it('of recipes are read', () => {
    const [{ text }] = of('csv', 'recipes');
    const { recipes } = readRecipesCsv(bytes(text), 'recipes.csv');
    expect(recipes.map((row) => `${formatRecipe(row.of)} by ${row.basis ?? 'any'}`)).toEqual([
      '5 Kelp + 2 Foam by any',
      '2 Kelp + 1 Foam + 1 Sand by volume',
      '50 Foam + 0.5 Urchin by weight',
    ]);
    parseRecipe(of('recipe', '')[0].text);
  });

  it('of verdicts by eye are read', () => {
    const rows = readVerdictsCsv(bytes(of('csv', 'verdicts')[0].text), 'verdicts.csv');
    expect(rows.map(({ verdict }) => verdict)).toEqual([
      { nearest: 1, how: ['lighter', 'duller'] },
      { nearest: 'none' },
      undefined,
    ]);
    expect(rows[1].balls.map((ball) => formatRecipe(ball))).toEqual([
      '4 Kelp + 1 Limpet',
      '5 Kelp + 2 Limpet + 1 Foam',
      '2 Kelp + 1 Sand',
    ]);
  });

  it('of a stock are read', () => {
    expect(readStockCsv(bytes(of('csv', 'stock')[0].text), 'stock.csv')).toEqual([
      {
        name: 'Foam',
        line: 'Saltmarsh',
        onHandG: 212.5,
        priceMinorPerG: 320 / 56,
        packageG: 56,
        density: 1.45,
      },
      { name: 'Kelp', line: 'Saltmarsh', onHandG: 40, priceMinorPerG: 320 / 56, packageG: 56 },
      {
        name: 'Urchin, old lot',
        ...{ line: 'Brindle', onHandG: 0, priceMinorPerG: 290 / 57, packageG: 57, density: 1.38 },
      },
    ]);
  });

  it('in the table of recipes are read', () => {
    const table = page.slice(page.indexOf('| you write'), page.indexOf('Two names are the same'));
    const written = table.split('\n').flatMap((row) => row.split('|')[1]?.match(/`[^`]+`/g) ?? []);
    expect(written.length).toBeGreaterThan(8);
    for (const text of written) expect(parseRecipe(text.slice(1, -1)).length).toBeGreaterThan(0);
  });
});
