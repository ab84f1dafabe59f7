import type { Lab } from '../../core/colour/triples.ts';
import type { PreMixFound } from '../../core/find/find-pre-mix.ts';
import type { Recipe } from '../../core/notation/notation.ts';
import { verdictWord } from '../../core/verdict/verdict.ts';
import { verdictHead } from '../../core/verdict/verdict-in-words.ts';
import { recipeInWords } from '../parts/piece-group.ts';
import { Pieces } from '../parts/pieces.tsx';

/** A closer recipe that half a part too much would spoil, and the pre-mix that makes it safe. */
export function PreMixNote({
  preMix,
  labOf,
}: {
  readonly preMix: PreMixFound;
  readonly labOf: (name: string) => Lab | undefined;
}) {
  const { instead, strong, first, preMixParts, others, dE00 } = preMix;
  const pieces = (recipe: Recipe) =>
    recipe.map(({ clay, parts }) => ({ id: clay, name: clay, lab: labOf(clay), parts }));
  return (
    <section className="stack" aria-label="With a pre-mix">
      <h3>Closer, with a pre-mix</h3>
      <p>
        {recipeInWords(instead)} is closer, but half a part too much {strong} would be visible.
        {first === undefined ? ' No pre-mix fits the rule and comes clearly closer.' : ''}
      </p>
      {first === undefined || others === undefined || dE00 === undefined ? null : (
        <>
          <p>First make a weak {strong} pre-mix, big enough to cut well:</p>
          <Pieces size="card" groups={pieces(first)} />
          <p>
            Then {preMixParts} {preMixParts === 1 ? 'part' : 'parts'} of that
            {others.length === 0 ? ' alone' : ' and these'}:{' '}
            {verdictHead(verdictWord(dE00)).toLowerCase()}.
          </p>
          {others.length === 0 ? null : <Pieces size="card" groups={pieces(others)} />}
        </>
      )}
    </section>
  );
}
