import { expect, it } from 'vitest';
import { COLOUR_FAMILIES } from './colour-families.ts';
import { colourNameAtEnd, familyOfName } from './colour-family.ts';
import { ISCC_NBS } from './iscc-nbs.data.ts';

// ISCC-NBS names of level 3 [Kelly1958], as they are published.
it('gives every one of the 267 names a family, and every family a name', () => {
  const families = ISCC_NBS.map(([, name]) => familyOfName(name));
  for (const family of families) expect(COLOUR_FAMILIES).toContain(family);
  expect(new Set(families).size).toBe(COLOUR_FAMILIES.length);
});

it('finds the name at the end of a text, the whole of it', () => {
  for (const [, name] of ISCC_NBS) {
    expect(colourNameAtEnd(` k7 less of it ${name} `)).toBe(name);
  }
  expect(colourNameAtEnd(' sea moss green ')).toBeUndefined();
});
