import { Label, Slider, SliderThumb, SliderTrack } from 'react-aria-components';
import { labFromLch, lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Tile, Unshown } from '../parts/tile.tsx';
import { WayStops } from './way-stops.tsx';
import './aims.css';

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
        most={100}
        at={(v) => labFromLch([v, chroma, hue])}
        onChange={(v) => set(v, strong, hue)}
      />
      <Way
        label="Duller to brighter"
        value={Math.min(MOST_CHROMA, chroma)}
        most={MOST_CHROMA}
        at={(v) => labFromLch([lightness, v, hue])}
        onChange={(v) => set(lightness, Math.max(v, 0.001), hue)}
      />
      <Way
        label="Hue"
        value={hue}
        most={360}
        at={(v) => labFromLch([lightness, Math.max(chroma, 20), v])}
        onChange={(v) => set(lightness, strong, v)}
      />
    </div>
  );
}

function Way({
  label,
  value,
  most,
  at,
  onChange,
}: {
  label: string;
  value: number;
  most: number;
  at: (value: number) => Lab;
  onChange: (value: number) => void;
}) {
  return (
    <Slider
      className="way"
      minValue={0}
      maxValue={most}
      step={most / 180}
      value={value}
      onChange={onChange}
    >
      <Label className="field-label">{label}</Label>
      <SliderTrack className="way-track">
        <WayStops
          colours={Array.from({ length: STOPS }, (_, i) => at(((i + 0.5) / STOPS) * most))}
        />
        <SliderThumb className="way-thumb" aria-valuetext={spokenColour(at(value))} />
      </SliderTrack>
    </Slider>
  );
}
