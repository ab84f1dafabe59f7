import type { Lab } from '../../core/colour/triples.ts';
import type { Recipe } from '../../core/notation/notation.ts';
import type { LetDownFound } from '../../core/find/find-pre-mix.ts';
import { verdictWord } from '../../core/verdict/verdict.ts';
import { PieceRow } from '../parts/piece-row.tsx';
import { recipeInWords, VERDICTS } from './recipe-row.tsx';

/** A nearer recipe that half a part would spoil, and how a let-down makes it safe. */
export function LetDownNote({
  letDown,
  labOf,
}: {
  readonly letDown: LetDownFound;
  readonly labOf: (name: string) => Lab | undefined;
}) {
  const { instead, strong, first, letDownParts, others, dE00 } = letDown;
  const pieces = (recipe: Recipe) =>
    recipe.map(({ parent, parts }) => ({ id: parent, name: parent, lab: labOf(parent), parts }));
  return (
    <section className="stack" aria-label="With a let-down">
      <h3>Nearer, with a let-down</h3>
      <p>
        {recipeInWords(instead)} is nearer, but half a part of {strong} too much would show.
        {first === undefined ? ' No let-down keeps to the rule and comes clearly nearer.' : ''}
      </p>
      {first === undefined || others === undefined || dE00 === undefined ? null : (
        <>
          <p>First let {strong} down, in a lump big enough to cut well:</p>
          <PieceRow size="small" groups={pieces(first)} />
          <p>
            Then {letDownParts} {letDownParts === 1 ? 'part' : 'parts'} of that
            {others.length === 0 ? ' alone' : ' and these'}:{' '}
            {VERDICTS[verdictWord(dE00)].toLowerCase()}.
          </p>
          {others.length === 0 ? null : <PieceRow size="small" groups={pieces(others)} />}
        </>
      )}
    </section>
  );
}
