import { useSyncExternalStore } from 'react';
import { displayP3FromLab, type ScreenColour, srgbFromLab } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';

/** Colours looked up again while a list is scrolled; past this many the oldest go. */
const REMEMBERED = 4000;

const remembered = new Map<string, ScreenColour>();
/** Media Queries 4, `color-gamut`: the screen shows about all of Display P3. */
const widerScreen = globalThis.matchMedia?.('(color-gamut: p3)');
const hearers = new Set<() => void>();
// A window dragged to another screen shows other colours.
widerScreen?.addEventListener('change', () => {
  remembered.clear();
  for (const hear of hearers) hear();
});

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

/** Draws anew what uses it when the window comes to a screen of another gamut; true on a wider one. */
export function useWiderScreen(): boolean {
  return useSyncExternalStore(
    (hear) => {
      hearers.add(hear);
      return () => hearers.delete(hear);
    },
    () => widerScreen?.matches === true,
  );
}
