import './chips.css';
import { type KeyboardEvent, useRef, useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { likelyColours } from '../../core/verdict/likely-colours.ts';
import { screenColour, useWiderScreen } from '../colour/screen-colour.ts';

interface ChipsProps {
  readonly lab: Lab;
  /** 3 x 3 by rows. */
  readonly covariance: ArrayLike<number>;
}

/**
 * The ± of a prediction as six touching chips along its lower edge: what the mix may come out as. Each
 * says on hover, focus or press how rare anything beyond it is. Arrow keys go from chip to chip.
 */
export function Chips({ lab, covariance }: ChipsProps) {
  useWiderScreen();
  const [reached, setReached] = useState(0);
  const [shown, setShown] = useState<number | undefined>();
  const row = useRef<HTMLDivElement>(null);
  const chips = likelyColours(lab, covariance);
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === 'Escape') return setShown(undefined);
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    const next = (reached + step + chips.length) % chips.length;
    setReached(next);
    row.current?.querySelectorAll('button')[next]?.focus();
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a row everywhere
    <div
      ref={row}
      className="chips"
      role="group"
      aria-label="It may come out"
      onKeyDown={onKeyDown}
      onPointerLeave={() => setShown(undefined)}
    >
      {chips.map(({ side, word, lab: colour }, i) => (
        <button
          key={side}
          type="button"
          className="chip"
          tabIndex={i === reached ? 0 : -1}
          aria-label={inWords(word)}
          style={{ backgroundColor: screenColour(colour).css }}
          onClick={() => setShown(i)}
          onPointerEnter={() => setShown(i)}
          onFocus={() => {
            setReached(i);
            setShown(i);
          }}
          onBlur={() => setShown(undefined)}
        >
          {shown === i ? <span className="chip-words">{inWords(word)}</span> : null}
        </button>
      ))}
    </div>
  );
}

/** The same chips in a card, to be looked at only. */
export function SmallChips({ lab, covariance }: ChipsProps) {
  useWiderScreen();
  return (
    <span className="chips" aria-hidden="true">
      {likelyColours(lab, covariance).map(({ side, lab: colour }) => (
        <span key={side} className="chip" style={{ backgroundColor: screenColour(colour).css }} />
      ))}
    </span>
  );
}

function inWords(word: string | undefined): string {
  return word === undefined ? 'Sure to come out like this' : `1 in 20: ${word} than this`;
}
