import { lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';

/**
 * Types of clay that start from different expectations. A concentrate is a strong colour known only
 * from small shares in other clay: a paste, a powder, the first batch of a pre-mix.
 */
export const CLAY_CLASSES = [
  'white',
  'black',
  'opaque',
  'pastel',
  'translucent',
  'concentrate',
] as const;
export type ClayClass = (typeof CLAY_CLASSES)[number];

/** Type of a clay by its index into a model. */
export function classOf(
  { clays }: { readonly clays: readonly { readonly clayClass: ClayClass }[] },
  clay: number,
): ClayClass {
  return clays[clay].clayClass;
}

const WHITE = { lightnessFrom: 88, chromaTo: 10 };
const BLACK = { lightnessTo: 34, chromaTo: 6 };
const PASTEL = { lightnessFrom: 72, chromaTo: 32 };

/**
 * Type of a clay from the colour of its own opaque tile (D50, 2 degree). Common practice, no
 * source: people call a tile white, black or pastel at about these bounds. A bright yellow is light
 * and strong in chroma, so it counts as opaque and not as a pastel.
 */
export function classFromMasstone(lab: Lab): ClayClass {
  const [lightness, chroma] = lchFromLab(lab);
  if (lightness >= WHITE.lightnessFrom && chroma <= WHITE.chromaTo) return 'white';
  if (lightness <= BLACK.lightnessTo && chroma <= BLACK.chromaTo) return 'black';
  if (lightness >= PASTEL.lightnessFrom && chroma <= PASTEL.chromaTo) return 'pastel';
  return 'opaque';
}
