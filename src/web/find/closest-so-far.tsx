import { memo } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { FoundRecipe } from '../../core/find/find-answer.ts';
import { verdictInShort } from '../../core/verdict/verdict.ts';
import { Button } from '../parts/button.tsx';
import { Tile } from '../parts/tile.tsx';

/**
 * On a narrow screen the answer lies below the aim, out of sight; this line keeps the nearest at her
 * thumb while she still moves the aim, and leads down to all of it. Wide screens do without.
 */
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
    <section className="bench nearest-so-far" aria-label="Closest so far">
      <div className="recipe-pair">
        <Tile lab={aim} name="Aim" />
        <Tile lab={best.shown} name="Closest mix" />
      </div>
      <span className="small">The nearest: {verdictInShort(best.verdict)}</span>
      <Button onPress={onShow}>See it</Button>
    </section>
  );
});
