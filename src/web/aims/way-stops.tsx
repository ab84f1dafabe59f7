import type { Lab } from '../../core/colour/triples.ts';
import { screenColour } from '../colour/screen-colour.ts';

/** The colours along a slider, in steps: one element, as a slider in use draws all of them in every frame. */
export function WayStops({ colours }: { readonly colours: readonly Lab[] }) {
  const step = 100 / colours.length;
  const stops = colours.map((lab, i) => `${screenColour(lab).css} ${i * step}% ${(i + 1) * step}%`);
  return (
    <span
      className="way-stops"
      aria-hidden="true"
      style={{ background: `linear-gradient(to right, ${stops.join(', ')})` }}
    />
  );
}
