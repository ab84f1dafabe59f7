import { expect, it } from 'vitest';
import { printedList } from './printed-lists.ts';

/** Every letter half as wide as it is high. */
const measure = { width: (text: string, size: number) => (text.length * size) / 2 };

it('sets a recipe that is too long for one line on two, and cuts nothing off', () => {
  const words = 'Sea moss in the weed: 4 Foam + 4 Kelp + 2 Lagoon + 1 Limpet + 1 Starfish';
  const [page] = printedList(
    [{ large: 'W1', words }],
    { title: 'For each pupil', says: [] },
    'A4',
    measure,
  );
  const said = page.things.flatMap((thing) => (thing.kind === 'text' ? [thing] : []));
  const [, , ...lines] = said;
  expect(lines.map(({ text }) => text).join(' ')).toBe(words);
  expect(lines).toHaveLength(2);
  expect(new Set(lines.map(({ y }) => y)).size).toBe(2);
});
