import { displayP3FromLab, type ScreenColour, srgbFromLab } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';

/** Colours looked up again while a list is scrolled; past this many the oldest go. */
const REMEMBERED = 4000;

const remembered = new Map<string, ScreenColour>();
const widerScreen = globalThis.matchMedia?.('(color-gamut: p3)');
// A window dragged to another screen shows other colours.
widerScreen?.addEventListener('change', () => remembered.clear());

/** A CIELAB (D50, 2 degrees) as this screen is told it; `shown` is false where it cannot show it. */
export function screenColour(lab: Lab): ScreenColour {
  const key = lab.join(' ');
  const known = remembered.get(key);
  if (known !== undefined) return known;
  const told = widerScreen?.matches === true ? displayP3FromLab(lab) : srgbFromLab(lab);
  if (remembered.size >= REMEMBERED) {
    for (const oldest of remembered.keys()) {
      remembered.delete(oldest);
      if (remembered.size < REMEMBERED / 2) break;
    }
  }
  remembered.set(key, told);
  return told;
}
