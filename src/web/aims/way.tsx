import './aims.css';
import { type PointerEvent, useId, useRef } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { WayStops } from './way-stops.tsx';

/**
 * A slider along a strip of real colours. The browser's own slider is inside the handle, for the keyboard and
 * screen readers; fingers and mouse move the handle from anywhere on the strip, exactly to the colour pressed.
 */
export function Way({
  label,
  value,
  least = 0,
  most,
  step,
  colours,
  says,
  onChange,
}: {
  readonly label: string;
  readonly value: number;
  readonly least?: number;
  readonly most: number;
  readonly step: number;
  /** Along the strip, from `least` to `most`. */
  readonly colours: readonly Lab[];
  /** The value in words; without them the number is read out. */
  readonly says?: string;
  readonly onChange: (value: number) => void;
}) {
  const id = useId();
  const input = useRef<HTMLInputElement>(null);
  const before = useRef(value);
  const share = Math.min(1, Math.max(0, (value - least) / (most - least)));
  const follow = ({ currentTarget, clientX }: PointerEvent<HTMLElement>) => {
    const { left, width } = currentTarget.getBoundingClientRect();
    const along = Math.min(1, Math.max(0, (clientX - left) / width)) * (most - least);
    const next = Math.min(most, least + Math.round(along / step) * step);
    if (next !== value) onChange(next);
  };
  return (
    <div className="way">
      <label className="field-label" htmlFor={id}>
        {label}
      </label>
      <div
        className="way-track"
        onPointerDown={(event) => {
          if (event.button !== 0) return;
          // The slider stays focused, whatever is pressed beside its handle.
          event.preventDefault();
          input.current?.focus({ preventScroll: true });
          event.currentTarget.setPointerCapture(event.pointerId);
          before.current = value;
          follow(event);
        }}
        onPointerMove={(event) => {
          if (event.currentTarget.hasPointerCapture(event.pointerId)) follow(event);
        }}
        // The finger went on to scroll the page.
        onPointerCancel={() => onChange(before.current)}
      >
        <WayStops colours={colours} />
        <span className="way-thumb" style={{ left: `${100 * share}%` }}>
          <input
            ref={input}
            id={id}
            className="input-inside"
            type="range"
            min={least}
            max={most}
            step={step}
            value={value}
            {...(says === undefined ? {} : { 'aria-valuetext': says })}
            onChange={(event) => onChange(event.target.valueAsNumber)}
          />
        </span>
      </div>
    </div>
  );
}
