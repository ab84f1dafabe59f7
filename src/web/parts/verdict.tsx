import './verdict.css';
import type { ReactNode } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { sideInWords, sidesOf } from '../../core/verdict/verdict.ts';
import type { VerdictInWords } from '../../core/verdict/verdict-in-words.ts';
import { FigureRow } from './figure-row.tsx';

/** The one verdict: "A match, 7 in 10", and below it in which direction the mix misses if it does. */
export function VerdictLine({
  words,
  live = false,
  isHeading = false,
  children,
}: {
  readonly words: VerdictInWords;
  /** Read aloud by screen readers whenever it changes. */
  readonly live?: boolean;
  /** What follows explains it. */
  readonly isHeading?: boolean;
  /** Further sentences: what the recipe needs. */
  readonly children?: ReactNode;
}) {
  return (
    <div className="verdict" aria-live={live ? 'polite' : 'off'}>
      {isHeading ? (
        <h2 className="verdict-head">{words.head}</h2>
      ) : (
        <p className="verdict-head serif">{words.head}</p>
      )}
      {words.miss === '' ? null : <p>{words.miss}</p>}
      {children}
    </div>
  );
}

/** The figures behind a verdict. */
export function VerdictFigures({
  aim,
  made,
  plusMinus,
  dE00,
}: {
  readonly aim: Lab;
  readonly made: Lab;
  readonly plusMinus: number;
  readonly dE00: number;
}) {
  const colour = (lab: Lab) => lab.map((v) => v.toFixed(1)).join('  ');
  return (
    <table className="figures">
      <tbody>
        <FigureRow name="Difference" value={dE00.toFixed(2)} unit="dE00" />
        <FigureRow name="Uncertainty" value={`± ${plusMinus.toFixed(2)}`} unit="dE00" />
        <FigureRow name="Wanted, L* a* b*" value={colour(aim)} unit="D50, 2°" />
        <FigureRow name="Predicted, L* a* b*" value={colour(made)} unit="D50, 2°" />
        {sidesOf(aim, made).map((side) => (
          <FigureRow
            key={side.word}
            name={sideInWords(side)}
            value={side.size.toFixed(2)}
            unit="dE00"
          />
        ))}
      </tbody>
    </table>
  );
}
