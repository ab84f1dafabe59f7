import { type HueRange, strongestIn } from './colour-range.ts';
import { PAINT_CHROMA } from './paint-range.data.ts';
import { labFromLch, lchFromLab } from './spaces.ts';
import type { Lab } from './triples.ts';

/**
 * How strong a pigmented paste can be: the range of 46 measured paints and their mixes with each other.
 * Units:   D50 and 2 degrees, without gloss, which makes every colour as strong as it can be
 * Source:  data/pigments, by tools/make-paint-range.ts
 * Limits:  paints without fluorescence; a pigment that is in none of them may be stronger
 */
const PAINTS: HueRange = { chroma: Float64Array.from(PAINT_CHROMA.flat()) };

/** The colour itself, or where no paint is so strong, the strongest one of the same hue and lightness. */
export function asPaint(lab: Lab): Lab {
  const [lightness, chroma, hue] = lchFromLab(lab);
  const most = strongestIn(PAINTS, lightness, hue);
  return chroma <= most ? lab : labFromLch([lightness, most, hue]);
}
