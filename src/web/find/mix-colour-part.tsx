import { memo, useEffect } from 'react';
import { verdict } from '../../core/verdict/verdict.ts';
import type { OpenClays } from '../book/clays.ts';
import { AimAndPrediction } from '../parts/aim-and-prediction.tsx';
import { VerdictLine } from '../parts/verdict-line.tsx';
import type { RequestAim } from './find-request.ts';
import { usePrediction } from './use-find.ts';
import type { Hand } from './use-hand.ts';

/** The mix beside its aim. Apart from the pieces, so that a colour that comes draws nothing but itself. */
export const MixColourPart = memo(function MixColourPart({
  clays,
  hand,
  byHand,
  aim,
  onTold,
}: {
  readonly clays: OpenClays;
  readonly hand: Hand;
  readonly byHand: boolean;
  readonly aim: RequestAim | undefined;
  /** Whether there is a colour to keep. */
  readonly onTold: (there: boolean) => void;
}) {
  const predicted = usePrediction(clays, hand);
  const there = predicted !== undefined;
  useEffect(() => onTold(there), [onTold, there]);
  const judged =
    aim === undefined || predicted === undefined
      ? undefined
      : verdict(aim.lab, predicted.lab, predicted.covariance);
  return (
    <>
      <AimAndPrediction
        aim={aim?.lab}
        aimName={aim === undefined ? 'Choose a colour' : `Aim: ${aim.words}`}
        made={predicted}
        madeName={byHand ? 'Your mix' : 'Closest mix'}
      />
      {judged === undefined || aim === undefined || predicted === undefined ? (
        <p className="lead">
          {aim === undefined
            ? 'Move the sliders, or take a colour from your book, a picture or a Munsell page.'
            : 'No recipe yet.'}
        </p>
      ) : (
        <VerdictLine verdict={judged} aim={aim.lab} made={predicted.lab} live={byHand} />
      )}
    </>
  );
});
