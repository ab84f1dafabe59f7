import type { ColourFamily } from './colour-families.ts';
import { colourName, labOfName } from './colour-name.ts';
import { deltaE2000 } from './difference.ts';
import { ISCC_NBS } from './iscc-nbs.data.ts';
import type { Lab } from './triples.ts';

const PLACES = new Map(ISCC_NBS.map(([, name], place) => [name, place]));

/** Words of the longest name. */
const LONGEST = Math.max(...ISCC_NBS.map(([, name]) => name.split(' ').length));

/**
 * Family of a colour name, the last word of it.
 * Source:  [Kelly1958]; every one of the 267 names ends in one of these words
 */
export function familyOfName(name: string): ColourFamily {
  return name.slice(name.lastIndexOf(' ') + 1) as ColourFamily;
}

/** A stored name that is farther off than this, CIEDE2000, is some other word of the text. */
const FARTHEST_NAME = 30;

/**
 * The colour name that closes a text of words, which was found for this very colour when the record was
 * saved: finding it again would mean 267 colour differences.
 * Shape:   words parted by single spaces, a CIELAB -> the text without the name, and the name's place
 *          in `ISCC_NBS`
 * Holds:   where the text ends with no name of such a colour, the name is found again
 */
export function cutColourName(
  text: string,
  lab: Lab,
): { readonly text: string; readonly place: number } {
  const plain = text.trimEnd();
  const ends: { readonly at: number; readonly place: number }[] = [];
  for (let words = 0, at = plain.length; words < LONGEST && at > 0; words++) {
    at = plain.lastIndexOf(' ', at - 1);
    const place = PLACES.get(plain.slice(at + 1));
    if (place !== undefined) ends.push({ at, place });
  }
  let best: (typeof ends)[number] | undefined;
  let least = FARTHEST_NAME;
  for (const end of ends) {
    const dE00 = deltaE2000(lab, labOfName(end.place));
    if (dE00 > least) continue;
    best = end;
    least = dE00;
  }
  if (best !== undefined) return { text: plain.slice(0, best.at + 1), place: best.place };
  return { text, place: colourName(lab).number - 1 };
}
