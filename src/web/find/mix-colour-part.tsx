import { memo, useEffect } from 'react';
import { verdictInWords } from '../../core/verdict/verdict-in-words.ts';
import type { OpenClays } from '../book/clays.ts';
import { Stack } from '../parts/stack.tsx';
import { Verdict } from '../parts/verdict.tsx';
import type { RequestAim } from './find-request.ts';
import { usePrediction } from './use-find.ts';
import type { Hand } from './use-hand.ts';

/** The mix beside the colour wanted. Apart from the pieces, so that a new colour renders nothing else. */
export const MixColourPart = memo(function MixColourPart({
  clays,
  hand,
  byHand,
  aim,
  onColour,
}: {
  readonly clays: OpenClays;
  readonly hand: Hand;
  readonly byHand: boolean;
  readonly aim: RequestAim | undefined;
  /** Told whether there is a predicted colour to save. */
  readonly onColour: (there: boolean) => void;
}) {
  const predicted = usePrediction(clays, hand);
  const there = predicted !== undefined;
  useEffect(() => onColour(there), [onColour, there]);
  const judged =
    aim === undefined || predicted === undefined
      ? undefined
      : verdictInWords(aim.lab, predicted.lab, predicted.covariance, 1.8);
  return (
    <>
      <Stack
        layers={[
          { name: 'Wanted', note: aim?.words, lab: aim?.lab },
          { name: 'Predicted', ...(predicted ?? { lab: undefined }) },
        ]}
      />
      {judged === undefined || aim === undefined || predicted === undefined ? (
        <p className="lead">
          {aim === undefined
            ? 'Move the sliders, or choose a colour from your book, a photo or a Munsell page.'
            : 'No recipe yet.'}
        </p>
      ) : (
        <Verdict words={judged} live={byHand} />
      )}
    </>
  );
});
