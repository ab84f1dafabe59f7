import { expect, it } from 'vitest';
import { COLOUR_FAMILIES } from './colour-families.ts';
import { cutColourName, familyOfName } from './colour-family.ts';
import { labOfName } from './colour-name.ts';
import { ISCC_NBS } from './iscc-nbs.data.ts';

// ISCC-NBS names of level 3 [Kelly1958], as they are published.
it('gives every one of the 267 names a family, and every family a name', () => {
  const families = ISCC_NBS.map(([, name]) => familyOfName(name));
  for (const family of families) expect(COLOUR_FAMILIES).toContain(family);
  expect(new Set(families).size).toBe(COLOUR_FAMILIES.length);
});

it('cuts the name off the end of a text, the one that fits the colour', () => {
  for (const [place, [, name]] of ISCC_NBS.entries()) {
    const cut = cutColourName(` k7 less of it ${name} `, labOfName(place));
    expect(cut).toEqual({ text: ' k7 less of it ', place });
  }
  const yellow = ISCC_NBS.findIndex(([, name]) => name === 'yellowish white');
  expect(cutColourName(' sea moss green ', labOfName(yellow))).toEqual({
    text: ' sea moss green ',
    place: yellow,
  });
});

// Level 2 of [NBS440]: 29 hue names, which the 267 names refine.
it('has 29 hue names in its 267 names', () => {
  const hues = new Set(
    ISCC_NBS.map(([, name]) => {
      const words = name.split(' ');
      const noun = words.at(-1) ?? '';
      // A reddish gray is a gray, a pinkish white a white.
      if (['white', 'gray', 'black'].includes(noun)) return noun;
      return words.filter((word) => !MODIFIERS.has(word)).join(' ');
    }),
  );
  expect(ISCC_NBS).toHaveLength(267);
  expect(hues.size).toBe(29);
});

const MODIFIERS = new Set(
  'vivid brilliant strong deep light moderate medium dark pale grayish very blackish brownish'.split(
    ' ',
  ),
);
