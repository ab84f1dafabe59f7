import './point-at-colour.css';
import { type KeyboardEvent, useRef, useState } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { screenColour, useWiderScreen } from '../../colour/screen-colour.ts';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { COLOURS, COLUMNS } from './colours-to-point-at.ts';

/** A strip of colours to point at. Arrow keys go from colour to colour. */
export function PointAtColour({
  chosen,
  onPoint,
}: {
  readonly chosen: Lab | undefined;
  readonly onPoint: (lab: Lab | undefined) => void;
}) {
  useWiderScreen();
  const at = COLOURS.findIndex((lab) => chosen !== undefined && isSame(lab, chosen));
  const [reached, setReached] = useState(Math.max(0, at));
  const grid = useRef<HTMLDivElement>(null);
  const onKeyDown = (event: KeyboardEvent) => {
    const step = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: COLUMNS, ArrowUp: -COLUMNS }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    const next = (reached + step + COLOURS.length) % COLOURS.length;
    setReached(next);
    grid.current?.querySelectorAll('button')[next]?.focus();
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere
    <div
      ref={grid}
      className="point"
      role="group"
      aria-label="Point at a colour"
      onKeyDown={onKeyDown}
    >
      {COLOURS.map((lab, i) => (
        <button
          key={lab.join(' ')}
          type="button"
          tabIndex={i === reached ? 0 : -1}
          aria-pressed={i === at}
          aria-label={`Mixes close to ${spokenColour(lab)}`}
          style={{ background: screenColour(lab).css }}
          onClick={() => onPoint(i === at ? undefined : lab)}
          onFocus={() => setReached(i)}
        />
      ))}
    </div>
  );
}

/** Colours in an address have two places. */
function isSame(one: Lab, other: Lab): boolean {
  return one.every((v, i) => Math.abs(v - other[i]) < 0.01);
}
