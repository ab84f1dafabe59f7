import { labFromLch, lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Tile, Unshown } from '../parts/tile.tsx';
import { Way } from './way.tsx';

const MOST_CHROMA = 90;
/** Colours drawn along each slider. */
const STOPS = 24;

/** Chooses a colour by eye, shown above its sliders. */
export function EyePicker({
  lab,
  onChange,
  name = 'Colour',
}: {
  readonly lab: Lab;
  readonly onChange: (lab: Lab) => void;
  readonly name?: string;
}) {
  return (
    <div className="stack bench eye">
      <Tile lab={lab} name={name} />
      <Unshown lab={lab} />
      <EyeSliders lab={lab} onChange={onChange} />
    </div>
  );
}

/** Lightness, strength and hue of a colour that is shown elsewhere. */
export function EyeSliders({
  lab,
  onChange,
}: {
  readonly lab: Lab;
  readonly onChange: (lab: Lab) => void;
}) {
  const [lightness, chroma, hue] = lchFromLab(lab);
  const set = (l: number, c: number, h: number) => onChange(labFromLch([l, c, h]));
  const strong = Math.max(chroma, 0.001);
  return (
    <div className="ways">
      <Way
        label="Darker to lighter"
        value={lightness}
        {...along(100, (v) => labFromLch([v, chroma, hue]), lightness)}
        onChange={(v) => set(v, strong, hue)}
      />
      <Way
        label="Duller to brighter"
        value={Math.min(MOST_CHROMA, chroma)}
        {...along(MOST_CHROMA, (v) => labFromLch([lightness, v, hue]), chroma)}
        onChange={(v) => set(lightness, Math.max(v, 0.001), hue)}
      />
      <Way
        label="Hue"
        value={hue}
        {...along(360, (v) => labFromLch([lightness, Math.max(chroma, 20), v]), hue)}
        onChange={(v) => set(lightness, strong, v)}
      />
    </div>
  );
}

/** A strip from 0 to `most` and the words for the colour at `value`. */
function along(most: number, at: (value: number) => Lab, value: number) {
  return {
    most,
    step: most / 180,
    colours: Array.from({ length: STOPS }, (_, i) => at(((i + 0.5) / STOPS) * most)),
    says: spokenColour(at(Math.min(most, value))),
  };
}
