import { Link } from '@tanstack/react-router';
import { type ReactNode, Suspense, useState } from 'react';
import type { RecordOf } from '../../domain/records/record.ts';
import type { OpenClays } from '../book/clays.ts';
import { predictedOf, wantedOf } from '../book/saved-with-mix.ts';
import { labInAddress } from '../colour/lab-in-address.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { ClayAdder } from '../parts/clay-picker.tsx';
import { DialogComing } from '../parts/dialog.tsx';
import { later } from '../parts/later.ts';
import { recipeForAddress } from '../screens/mixing/recipe-in-address.ts';
import type { Prediction } from '../workers/messages.ts';
import type { RequestAim } from './find-request.ts';
import type { Studio } from './studio.ts';
import { sharesOfHand } from './use-find.ts';
import type { Hand, HandHere } from './use-hand.ts';

const SaveMix = later(async () => (await import('../screens/save-mix.tsx')).SaveMix);

/** What can be done with the recipe on the bench: save it, mix it, or take moves back. */
export function FindActions({
  clays,
  studio,
  here,
  shown,
  canSave,
  aim,
  onSaved,
  children,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly here: HandHere;
  readonly shown: Hand;
  readonly canSave: boolean;
  /** The colour the mix is for, saved with it. */
  readonly aim: RequestAim | undefined;
  readonly onSaved: (mix: RecordOf<'mix'>) => void;
  /** Behind *Details*. */
  readonly children: ReactNode;
}) {
  const [toSave, setToSave] = useState<
    { readonly hand: Hand; readonly predicted: Prediction } | undefined
  >();
  const [saveOpen, setSaveOpen] = useState(false);
  const used = shown.filter(({ parts }) => parts > 0);
  const { hand, moves, from } = here;
  const save = () => {
    // A press right after a move waits for the new colour instead of saving the one before.
    clays.worker
      .predict(sharesOfHand(clays, shown))
      .then((predicted) => {
        setToSave({ hand: used, predicted });
        setSaveOpen(true);
      })
      .catch(() => {});
  };
  return (
    <>
      <div className="find-actions actions">
        <Button kind="main" isDisabled={used.length === 0 || !canSave} onPress={save}>
          Save this mix
        </Button>
        {used.length === 0 || aim === undefined ? null : (
          <Link
            className="button"
            to="/mixing"
            search={recipeForAddress(used, clays.worker.basis, aim)}
          >
            Mix now
          </Link>
        )}
      </div>
      <div className="find-more actions">
        <ClayAdder
          label="Add a clay"
          among={(id) => studio.byBlock.has(id) && !shown.some(({ blockId }) => blockId === id)}
          onChoose={(blockId) => here.setParts(shown, blockId, 1)}
        />
        {aim === undefined ? null : (
          <>
            <Link to="/try" search={{ aim: labInAddress(aim.lab), called: aim.words }}>
              Roll three test balls
            </Link>
            <Link to="/mend" search={{ aim: labInAddress(aim.lab), called: aim.words }}>
              Mend a lump
            </Link>
          </>
        )}
        {moves === 0 ? null : (
          <Button kind="quiet" onPress={here.undo}>
            Undo
          </Button>
        )}
        {hand === undefined ? null : (
          <Button
            kind="quiet"
            onPress={moves > 0 && from !== undefined ? () => here.show(from) : here.clear}
          >
            {moves > 0 ? 'Back to the found recipe' : 'Back to the first'}
          </Button>
        )}
        <details>
          <summary>Details</summary>
          {children}
        </details>
      </div>
      {toSave === undefined ? null : (
        <Suspense fallback={<DialogComing />}>
          <SaveMix
            isOpen={saveOpen}
            onClose={() => setSaveOpen(false)}
            onSaved={(mix) => {
              setSaveOpen(false);
              onSaved(mix);
            }}
            suggestedName={spokenColour(toSave.predicted.lab)}
            body={{
              parts: toSave.hand.map(({ blockId, parts }) => ({
                of: { kind: 'block', id: blockId },
                parts,
              })),
              basis: clays.worker.basis,
              status: 'test',
              ...(aim === undefined ? {} : { wanted: wantedOf(aim) }),
              predicted: predictedOf(toSave.predicted, clays.modelId),
            }}
          />
        </Suspense>
      )}
    </>
  );
}
