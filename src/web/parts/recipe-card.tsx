import './recipe-card.css';
import type { ReactNode } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { screenColour, useWiderScreen } from '../colour/screen-colour.ts';
import { SmallChips } from './chips.tsx';
import { PieceBar } from './piece-bar.tsx';
import { type PieceGroup, recipeInWords } from './piece-group.ts';

/** A recipe as a card: the colour wanted, the prediction with its ±, the pieces, its chance, its clays. */
export function RecipeCard({
  aim,
  lab,
  covariance,
  groups,
  head,
  reason,
  price,
  notes = [],
  chosen = false,
  onShow,
  children,
}: {
  readonly aim: Lab | undefined;
  readonly lab: Lab;
  readonly covariance?: ArrayLike<number> | undefined;
  readonly groups: readonly PieceGroup[];
  /** The verdict in short: "6 in 10". */
  readonly head: string;
  /** Why this recipe is here: "Fewer clays". */
  readonly reason?: string | undefined;
  readonly price?: string | undefined;
  /** What to know before using it: "Tern ran out". */
  readonly notes?: readonly string[];
  /** It is on the bench now. */
  readonly chosen?: boolean;
  readonly onShow: () => void;
  readonly children?: ReactNode;
}) {
  useWiderScreen();
  const words = recipeInWords(groups.map(({ name, parts }) => ({ clay: name, parts })));
  return (
    <button type="button" className="card" aria-pressed={chosen} onClick={onShow}>
      <span className="unseen">Show </span>
      <span className="card-colours">
        {aim === undefined ? null : (
          <span className="card-aim" style={{ background: screenColour(aim).css }} />
        )}
        <span className="card-made" style={{ background: screenColour(lab).css }} />
        {covariance === undefined ? null : <SmallChips lab={lab} covariance={covariance} />}
      </span>
      <span className="pieces" data-size="card">
        <PieceBar groups={groups} />
      </span>
      <span className="card-head">
        <span className="serif">
          {head}
          <span className="unseen">: </span>
        </span>
        {price === undefined ? null : <span className="small">{price}</span>}
      </span>
      {reason === undefined ? null : (
        <strong className="small">
          {reason}
          <span className="unseen">: </span>
        </strong>
      )}
      <span className="small">{words}</span>
      {notes.map((note) => (
        <span key={note} className="warning small">
          {note}
        </span>
      ))}
      {children}
    </button>
  );
}
