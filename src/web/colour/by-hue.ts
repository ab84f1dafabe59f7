import { HUED_CHROMA } from '../../core/colour/hue-gaps.ts';
import { lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';

/** The circle of hues starts between violet and pink, so that pinks come next to reds. */
const CUT_DEGREES = 330;
/** Hues within one step are sorted by lightness, so that a row looks like one hue. */
const STEP_DEGREES = 30;

/** Orders colours round the circle of hues, from pink by red, yellow, green, blue to violet; greys last. */
export function byHue(one: Lab, other: Lab): number {
  const [first, second] = [place(one), place(other)];
  return first.step - second.step || second.lightness - first.lightness;
}

function place(lab: Lab): { readonly step: number; readonly lightness: number } {
  const [lightness, chroma, hue] = lchFromLab(lab);
  if (chroma < HUED_CHROMA) return { step: 360, lightness };
  return { step: Math.floor(((hue - CUT_DEGREES + 360) % 360) / STEP_DEGREES), lightness };
}
