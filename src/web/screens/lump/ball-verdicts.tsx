import { chanceInWords } from '../../../core/verdict/verdict-in-words.ts';
import { isDoubtful } from '../../../verbs/tried-doubt.ts';
import type { TryAnswer } from '../../../verbs/try.ts';
import { Button } from '../../parts/button.tsx';
import { recipeInWords } from '../../parts/piece-group.ts';
import { Tile } from '../../parts/tile.tsx';

/** The recipe that the verdicts speak for, once there is something to go by. */
export function BestSoFar({
  answer,
  onSave,
}: {
  readonly answer: TryAnswer;
  readonly onSave: () => void;
}) {
  const { best, heard, keep } = answer;
  if (heard === 0) return null;
  return (
    <div className="missing">
      <Tile lab={best.shown} name="Best so far" />
      <div>
        <p>
          {keep ? 'Probably right already: ' : 'Best so far: '}
          {recipeInWords(best.parts)}. A match, {chanceInWords(best.chance)}.
        </p>
        <Button kind="quiet" onPress={onSave}>
          Save this recipe
        </Button>
      </div>
    </div>
  );
}

/** A ball looked the same: its recipe is the answer. */
export function Kept({
  answer,
  onSave,
}: {
  readonly answer: TryAnswer;
  readonly onSave: () => void;
}) {
  const { best } = answer;
  return (
    <>
      <h2>{recipeInWords(best.parts)}</h2>
      <p>
        You saw no difference.
        {isDoubtful(answer)
          ? ' By everything else that is known this ball differs; look once more in other light.'
          : ''}
      </p>
      <div className="actions mend-actions">
        <Button kind="main" onPress={onSave}>
          Save this recipe
        </Button>
      </div>
    </>
  );
}
