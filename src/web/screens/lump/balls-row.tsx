import type { Ball } from '../../../verbs/try.ts';
import type { OpenClays } from '../../book/clays.ts';
import { handOfRecipe } from '../../find/recipe-hand.ts';
import type { Studio } from '../../find/studio.ts';
import { recipeInWords } from '../../parts/piece-group.ts';
import { Pieces } from '../../parts/pieces.tsx';
import { Tile } from '../../parts/tile.tsx';
import { groupsOfHand } from './hand-of-mix.ts';

export const LETTERS = ['A', 'B', 'C'] as const;

/** Three balls of one size with their pieces; the closest one is pressed. */
export function BallsRow({
  clays,
  studio,
  balls,
  nearest,
  onChoose,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly balls: readonly Ball[];
  readonly nearest: 0 | 1 | 2 | 'none' | undefined;
  readonly onChoose: (ball: 0 | 1 | 2) => void;
}) {
  return (
    <div className="balls-row">
      {balls.map((ball, i) => (
        <button
          key={recipeInWords(ball.parts)}
          type="button"
          className="ball"
          aria-pressed={nearest === i}
          onClick={() => onChoose(i as 0 | 1 | 2)}
        >
          <span className="round touching">
            <Tile lab={ball.shown} name={`Ball ${LETTERS[i]}`} />
          </span>
          <span className="ball-letter serif">{LETTERS[i]}</span>
          <span className="ball-pieces">
            <Pieces
              size="card"
              groups={groupsOfHand(handOfRecipe(ball.parts, studio), clays, studio)}
            />
          </span>
        </button>
      ))}
    </div>
  );
}
