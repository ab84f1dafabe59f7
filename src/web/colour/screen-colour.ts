import { useSyncExternalStore } from 'react';
import { displayP3FromLab, type ScreenColour, srgbFromLab } from '../../core/colour/display.ts';
import type { Lab } from '../../core/colour/triples.ts';

/** Most colours remembered for scrolling lists; past it the oldest are removed. */
const REMEMBERED = 4000;

const remembered = new Map<string, ScreenColour>();
/** Media Queries 4, `color-gamut`: the screen shows about all of Display P3. */
const widerScreen = globalThis.matchMedia?.('(color-gamut: p3)');
const listeners = new Set<() => void>();
// A window dragged to another screen shows other colours.
widerScreen?.addEventListener('change', () => {
  remembered.clear();
  for (const listener of listeners) listener();
});

/** The CSS colour of a CIELAB colour (D50, 2 degrees); `shown` is false where the screen cannot show it. */
export function screenColour(lab: Lab): ScreenColour {
  const key = lab.join(' ');
  const known = remembered.get(key);
  if (known !== undefined) return known;
  const colour = widerScreen?.matches === true ? displayP3FromLab(lab) : srgbFromLab(lab);
  if (remembered.size >= REMEMBERED) {
    for (const oldest of remembered.keys()) {
      remembered.delete(oldest);
      if (remembered.size < REMEMBERED / 2) break;
    }
  }
  remembered.set(key, colour);
  return colour;
}

/** Renders again when the window moves to a screen of another gamut; true on a wider one. */
export function useWiderScreen(): boolean {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => widerScreen?.matches === true,
  );
}
