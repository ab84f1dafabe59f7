import type { ColourFamily } from './colour-families.ts';
import { ISCC_NBS } from './iscc-nbs.data.ts';

const NAMES = new Set(ISCC_NBS.map(([, name]) => name));

/** Words of the longest name. */
const LONGEST = Math.max(...ISCC_NBS.map(([, name]) => name.split(' ').length));

/**
 * Family of a colour name, the last word of it.
 * Source:  [Kelly1958]; every one of the 267 names ends in one of these words
 */
export function familyOfName(name: string): ColourFamily {
  return name.slice(name.lastIndexOf(' ') + 1) as ColourFamily;
}

/** The colour name a text of words ends with, the longest that does. */
export function colourNameAtEnd(text: string): string | undefined {
  const plain = text.trim();
  let found: string | undefined;
  for (let words = 0, at = plain.length; words < LONGEST && at > 0; words++) {
    at = plain.lastIndexOf(' ', at - 1);
    const name = plain.slice(at + 1);
    if (NAMES.has(name)) found = name;
  }
  return found;
}
