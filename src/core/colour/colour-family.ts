import { ISCC_NBS } from './iscc-nbs.data.ts';

/** Nouns of the colour names, by which people look for a colour: a `light bluish green` is a green. */
export const COLOUR_FAMILIES = [
  'pink',
  'red',
  'orange',
  'brown',
  'yellow',
  'olive',
  'green',
  'blue',
  'violet',
  'purple',
  'white',
  'gray',
  'black',
] as const;
export type ColourFamily = (typeof COLOUR_FAMILIES)[number];

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

/** The colour name a text ends with, the longest that does. */
export function colourNameAtEnd(text: string): string | undefined {
  const words = text.trim().split(' ').slice(-LONGEST);
  for (let from = 0; from < words.length; from++) {
    const name = words.slice(from).join(' ');
    if (NAMES.has(name)) return name;
  }
  return undefined;
}
