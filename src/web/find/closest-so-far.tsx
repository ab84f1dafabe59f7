import { memo } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { FoundRecipe } from '../../core/find/find-answer.ts';
import { verdictInShort } from '../../core/verdict/verdict.ts';
import { Button } from '../parts/button.tsx';
import { Tile } from '../parts/tile.tsx';

/** The closest recipe, at the foot of a narrow screen while the user still moves the sliders. */
export const ClosestSoFar = memo(function ClosestSoFar({
  aim,
  best,
  onShow,
}: {
  readonly aim: Lab;
  readonly best: FoundRecipe;
  readonly onShow: () => void;
}) {
  return (
    <section className="bench closest-so-far" aria-label="Closest so far">
      <div className="recipe-pair">
        <Tile lab={aim} name="Colour you want" />
        <Tile lab={best.shown} name="Closest mix" />
      </div>
      <span className="small">Closest: {verdictInShort(best.verdict)}</span>
      <Button onPress={onShow}>Show</Button>
    </section>
  );
});
