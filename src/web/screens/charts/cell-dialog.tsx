import { Link } from '@tanstack/react-router';
import { inARow } from '../../../core/in-a-row.ts';
import { sideInWords, sidesOf } from '../../../core/verdict/verdict.ts';
import type { OpenClays } from '../../book/clays.ts';
import { labInAddress } from '../../colour/lab-in-address.ts';
import { handOfRecipe } from '../../find/recipe-hand.ts';
import type { Studio } from '../../find/studio.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { recipeInWords } from '../../parts/piece-group.ts';
import { Pieces } from '../../parts/pieces.tsx';
import { Tile } from '../../parts/tile.tsx';
import { groupsOfHand } from '../lump/hand-of-mix.ts';
import { recipeForAddress } from '../mixing/recipe-in-address.ts';
import type { ShownCell } from './chart-sheet.tsx';

/** Smaller differences are not spoken of, dE00. */
const SPOKEN = 0.8;

/** One cell of a chart: its colours large, its pieces, and how to make it. */
export function CellDialog({
  cell: { recipe, shown, read },
  clays,
  studio,
  onClose,
}: {
  readonly cell: ShownCell;
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly onClose: () => void;
}) {
  const hand = handOfRecipe(recipe, studio);
  const words = recipeInWords(recipe);
  const apart =
    read === null
      ? []
      : sidesOf(shown, read)
          .filter(({ size }) => size >= SPOKEN)
          .slice(0, 2);
  return (
    <Dialog title={words} isOpen onClose={onClose}>
      <div className="bench chart-seen">
        {read === null ? null : <Tile lab={read} name="Read" />}
        <Tile lab={shown} name="Predicted" />
      </div>
      <p>
        {read === null
          ? 'Predicted. No tile of it was read yet.'
          : apart.length === 0
            ? 'Read above, predicted below: no difference to the eye.'
            : `Read above, predicted below: the tile is ${inARow(apart.map(sideInWords))}.`}
      </p>
      <Pieces size="card" groups={groupsOfHand(hand, clays, studio)} />
      <div className="actions">
        <Link
          className="button"
          data-kind="main"
          to="/mixing"
          search={recipeForAddress(hand, clays.worker.basis, { lab: shown, words })}
        >
          Mix now
        </Link>
        <Link
          className="button"
          to="/find"
          search={{ aim: labInAddress(read ?? shown), called: words }}
        >
          Find this colour
        </Link>
        <Button kind="quiet" onPress={onClose}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}
