import { expect, it } from 'vitest';
import { labelSheet, labelSheets } from './label-sheets.ts';

/** Every letter half as wide as it is high. */
const measure = { width: (text: string, size: number) => (text.length * size) / 2 };
const recipe = '12 Kelp + 7 Foam + 3 Lagoon + 2 Limpet + 1 Starfish';
const label = { code: 'K7', lines: ['Sea moss', recipe, 'Ines Limpet'] };

function textsOn(sheet: object): readonly string[] {
  const [page] = labelSheets(
    [label],
    labelSheet.parse(sheet),
    measure,
    () => ({ size: 0, data: [] }),
    false,
  );
  return page.things.flatMap((thing) => (thing.kind === 'text' ? [thing.text] : []));
}

it('sets a recipe on as many lines as there is room for', () => {
  const texts = textsOn({});
  expect(texts.length).toBeGreaterThan(label.lines.length + 1);
  expect(texts.join(' ')).toBe(`K7 Sea moss ${recipe} Ines Limpet`);
});

it('cuts a recipe only where the label is full', () => {
  const texts = textsOn({ widthMm: 25, columns: 8, gapAcrossMm: 0 });
  expect(texts.at(-1)).toBe('Ines Limpet');
  expect(texts.at(-2)).toMatch(/^Lagoon .*…$/);
  // Two lines are of the code.
  expect(texts.length).toBe(1 + 5);
});
