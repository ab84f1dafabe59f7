import type { Lab } from '../../../core/colour/triples.ts';
import { MATCH, sideInWords, sidesOf } from '../../../core/verdict/verdict.ts';
import { verdictInWords } from '../../../core/verdict/verdict-in-words.ts';
import type { MendAnswer } from '../../../verbs/mend.ts';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { recipeInWords } from '../../parts/piece-group.ts';
import { Tile } from '../../parts/tile.tsx';

/** How the lump differs, what to add, and what speaks against adding. */
export function WhatToAdd({
  answer,
  aim,
  old,
  place,
  onChoose,
  ofPieces,
  pieces,
}: {
  readonly answer: MendAnswer;
  readonly aim: Lab;
  readonly old: boolean;
  readonly place: number;
  readonly onChoose: (place: number) => void;
  readonly ofPieces: (pieces: number) => string;
  readonly pieces: number;
}) {
  const { lump, additions, leave, afresh, doubt } = answer;
  return (
    <div className="stack" data-old={old || undefined}>
      <h2>{lumpInWords(aim, lump.shown)}</h2>
      {leave === undefined ? null : (
        <p className="lead">
          <strong>Use the lump as it is.</strong> {leave.why}
        </p>
      )}
      {afresh === undefined ? null : (
        <p className="lead">
          <strong>Start again</strong> with {recipeInWords(afresh.recipe)}. {afresh.why}
        </p>
      )}
      {doubt === undefined ? null : <p className="warning">{doubt.sentence}</p>}
      {additions.length === 0 ? (
        <p>Nothing you own brings this lump closer.</p>
      ) : (
        <ul className="mend-additions" aria-label="Additions, smallest first">
          {additions.map((one, i) => (
            <li key={recipeInWords(one.add)}>
              <button
                type="button"
                className="came-way"
                aria-pressed={i === place}
                onClick={() => onChoose(i)}
              >
                <span className="came-picture touching">
                  <Tile lab={aim} name="Wanted" />
                  <Tile lab={one.shown} name="Mended" />
                </span>
                <span className="came-words">
                  <span className="serif came-head">{recipeInWords(one.add)}</span>
                  <span className="small">
                    {verdictInWords(aim, one.shown, one.covariance, MATCH, one.chance).head}.{' '}
                    {ofPieces(pieces)} become {ofPieces(pieces * one.growth)}.
                  </span>
                </span>
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** "The lump is a little bluer and slightly duller", or "the wanted colour". */
function lumpInWords(aim: Lab, lump: Lab): string {
  const seen = sidesOf(aim, lump).filter(({ size }) => size >= 0.8);
  if (seen.length === 0) return `The lump is the ${spokenColour(aim)} you want`;
  return `The lump is ${seen.slice(0, 2).map(sideInWords).join(' and ')}`;
}
