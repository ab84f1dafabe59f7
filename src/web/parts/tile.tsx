import { type ReactNode, useDeferredValue } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { isNearBackground } from '../colour/near-background.ts';
import { screenColour, useWiderScreen } from '../colour/screen-colour.ts';
import { spokenColour } from '../colour/spoken-colour.ts';

/** A colour to be judged: hatched while it has none. Nothing is ever written on it. */
export function Tile({
  lab,
  name,
  coming = false,
}: {
  readonly lab: Lab | undefined;
  readonly name: string;
  /** The colour is still loading. */
  readonly coming?: boolean;
}) {
  // Finding the name of a colour takes time; the colour itself does not wait for it.
  const spoken = useDeferredValue(lab);
  useWiderScreen();
  if (lab === undefined) {
    return (
      <span
        className={coming ? 'tile tile-coming' : 'tile no-colour'}
        role="img"
        aria-label={`${name}: ${coming ? 'loading' : 'no colour yet'}`}
      >
        {coming ? null : <span>no colour yet</span>}
      </span>
    );
  }
  return (
    <span
      className="tile"
      role="img"
      aria-label={`${name}: ${spokenColour(spoken ?? lab)}`}
      data-like={isNearBackground(lab)}
      style={{ background: screenColour(lab).css }}
    />
  );
}

/** Marks a colour this screen cannot show; beside it, never on it. */
export function Unshown({ lab }: { readonly lab: Lab | undefined }) {
  useWiderScreen();
  if (lab === undefined || screenColour(lab).shown) return null;
  return <span className="unshown">stronger than this screen can show</span>;
}

/** A tile with its code and name below. */
export function Sample({
  lab,
  name,
  coming = false,
  code,
  children,
}: {
  readonly lab: Lab | undefined;
  readonly name: string;
  /** The colour is still loading. */
  readonly coming?: boolean;
  readonly code?: string | undefined;
  readonly children?: ReactNode;
}) {
  return (
    <div className="sample">
      <Tile lab={lab} name={[code, name].filter(Boolean).join(' ')} coming={coming} />
      <div>
        {code === undefined ? null : <span className="code">{code} </span>}
        <span className="sample-name">{name}</span>
      </div>
      <Unshown lab={lab} />
      {children}
    </div>
  );
}
