import { expect, it } from 'vitest';
import { colourName } from './colour-name.ts';
import { coloursOfWord } from './everyday-colours.ts';
import { ISCC_NBS } from './iscc-nbs.data.ts';
import type { Lab } from './triples.ts';

const namesOf = (word: string) =>
  ISCC_NBS.filter((_, place) => coloursOfWord(word)?.[place] === 1).map(([, name]) => name);
const means = (word: string, lab: Lab) => namesOf(word).includes(colourName(lab).name);

it('knows every word of the published names, the beginnings of words and both spellings', () => {
  for (const [, name] of ISCC_NBS) {
    for (const word of name.split(' ')) expect(namesOf(word)).toContain(name);
  }
  expect(namesOf('oliv')).toEqual(namesOf('olive'));
  expect(namesOf('grey')).toEqual(namesOf('gray'));
  expect(namesOf('greens')).toEqual(namesOf('green').filter((name) => /green\b/.test(name)));
  expect(coloursOfWord('kelp')).toBeUndefined();
});

it('takes everyday words for the colours people call so', () => {
  expect(means('turquoise', [65, -35, -12])).toBe(true);
  expect(means('turqu', [65, -35, -12])).toBe(true);
  expect(means('turquoise', [50, 60, 40])).toBe(false);
  expect(means('navy', [16, 4, -22])).toBe(true);
  expect(means('maroon', [22, 34, 14])).toBe(true);
  expect(means('cream', [90, 1, 18])).toBe(true);
  expect(means('mint', [85, -22, 8])).toBe(true);
  expect(means('lilac', [72, 18, -20])).toBe(true);
  expect(means('rust', [42, 38, 38])).toBe(true);
  expect(means('mustard', [62, 6, 58])).toBe(true);
  expect(means('beige', [78, 3, 18])).toBe(true);
});
