import { labFromLch } from '../../../core/colour/spaces.ts';
import type { Lab } from '../../../core/colour/triples.ts';

const HUES = 13;
/** From pink by red, yellow, green and blue to violet, as lists by hue are sorted. */
const FIRST_HUE = 345;
const LIGHTNESSES = [82, 58, 36] as const;
/** As bright as most clay mixes are at that lightness. */
const CHROMAS = [34, 46, 32] as const;
export const COLUMNS = HUES + 1;
const GREYS = [94, 60, 20] as const;

/** Every colour to point at, row by row. */
export const COLOURS: readonly Lab[] = LIGHTNESSES.flatMap((lightness, row) => [
  ...Array.from({ length: HUES }, (_, i) =>
    labFromLch([lightness, CHROMAS[row], (FIRST_HUE + (i * 360) / HUES) % 360]),
  ),
  [GREYS[row], 0, 0] as const,
]);
