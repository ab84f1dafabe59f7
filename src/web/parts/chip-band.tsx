import type { ReactNode } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { likelyColours } from '../colour/likely-colours.ts';
import { screenColour, useWiderScreen } from '../colour/screen-colour.ts';

const WHERE = [
  ['band-over', ['lighter', 'brighter']],
  ['band-side', ['onward', 'backward']],
  ['band-under', ['duller', 'darker']],
] as const;

/**
 * The likely range of a mix, as chips along three sides of its tile. Hidden from screen readers, as the
 * sentence of the verdict says it in words.
 */
export function ChipBand({
  lab,
  covariance,
  children,
}: {
  readonly lab: Lab;
  readonly covariance: ArrayLike<number>;
  readonly children: ReactNode;
}) {
  useWiderScreen();
  const likely = likelyColours(lab, covariance);
  return (
    <div className="banded">
      {children}
      {WHERE.map(([place, sides]) => (
        <ul key={place} className={`band ${place}`} aria-hidden="true">
          {sides.map((side) => {
            const chip = likely.find((one) => one.side === side)!;
            return (
              <li key={side}>
                <span
                  className="tile"
                  style={{ background: screenColour(chip.lab).css, aspectRatio: 'auto' }}
                />
              </li>
            );
          })}
        </ul>
      ))}
    </div>
  );
}
