import { memo, useCallback, useEffect, useMemo, useRef } from 'react';
import type { OpenClays } from '../book/clays.ts';
import { massInWords, useUnits } from '../book/units.ts';
import { Pieces, PiecesComing } from '../parts/pieces.tsx';
import { Stack } from '../parts/stack.tsx';
import type { Prediction } from '../workers/messages.ts';
import { batchAmounts } from './batch-amounts.ts';
import type { RequestAim } from './find-request.ts';
import type { Studio } from './studio.ts';
import { sharesOfHand } from './use-find.ts';
import { type Hand, type HandHere, withParts } from './use-hand.ts';

/** Before the clays are open: the colour wanted, and where prediction and pieces will be. */
export function BenchComing({ aim }: { readonly aim: RequestAim }) {
  return (
    <Stack
      layers={[
        { name: 'Wanted', note: aim.words, lab: aim.lab },
        { name: 'Predicted', lab: undefined, coming: true },
      ]}
      foot={{ name: 'Pieces' }}
    >
      <PiecesComing />
    </Stack>
  );
}

/** The colour wanted, the prediction that touches it, and the pieces, which are the control. */
export const FindBench = memo(function FindBench({
  clays,
  studio,
  aim,
  here,
  shown,
  predicted,
  searching,
  far,
  batchG,
}: {
  readonly clays: OpenClays;
  readonly studio: Studio;
  readonly aim: RequestAim;
  readonly here: HandHere;
  /** The recipe on the bench: moved by hand, or the first one found. */
  readonly shown: Hand;
  readonly predicted: Prediction | undefined;
  readonly searching: boolean;
  /** No recipe is close: the prediction is only the closest. */
  readonly far: boolean;
  readonly batchG: number | undefined;
}) {
  const units = useUnits();
  const turn = (blockId: string, parts: number) => {
    const next = sharesOfHand(clays, withParts(shown, blockId, parts));
    // Until the clays are loaded here, the worker starts while the pieces render.
    if (next.length > 0 && clays.worker.predictNow(next) === undefined) {
      clays.worker.predict(next).catch(() => {});
    }
    here.setParts(shown, blockId, parts);
  };
  useEffect(() => clays.worker.bringToHand(), [clays]);
  const newest = useRef(turn);
  newest.current = turn;
  const onTurn = useCallback((id: string, parts: number) => newest.current(id, parts), []);
  const amounts = useMemo(
    () => batchAmounts(shown, studio, clays.worker.basis, batchG),
    [shown, studio, clays, batchG],
  );
  const before = new Map((here.from ?? shown).map(({ blockId, parts }) => [blockId, parts]));
  const groups = shown.map(({ blockId, parts }) => {
    const grams = amounts.get(blockId);
    return {
      id: blockId,
      name: studio.byBlock.get(blockId)?.name ?? '',
      lab: clays.byBlock.get(blockId)?.lab,
      parts,
      was: here.hand === undefined ? undefined : (before.get(blockId) ?? 0),
      amount: grams === undefined ? undefined : massInWords(grams, units),
    };
  });
  const total = shown.reduce((sum, { parts }) => sum + parts, 0);
  return (
    <Stack
      layers={[
        { name: 'Wanted', note: aim.words, lab: aim.lab },
        {
          name: far && here.hand === undefined ? 'Closest' : 'Predicted',
          note: here.hand === undefined ? undefined : 'your own mix',
          lab: predicted?.lab,
          covariance: predicted?.covariance,
          coming: searching && predicted === undefined,
        },
      ]}
      foot={{ name: 'Pieces', note: `${total} ${total === 1 ? 'part' : 'parts'}` }}
    >
      {groups.length === 0 ? (
        searching ? (
          <PiecesComing />
        ) : null
      ) : (
        <Pieces groups={groups} onChange={onTurn} />
      )}
    </Stack>
  );
});
