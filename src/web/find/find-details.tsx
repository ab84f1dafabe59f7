import { memo } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { verdict } from '../../core/verdict/verdict.ts';
import { useUnits } from '../book/units.ts';
import { VerdictFigures } from '../parts/verdict.tsx';
import type { Prediction } from '../workers/messages.ts';
import { BatchField } from './batch-field.tsx';

/** What is asked for seldom: an amount and the figures. */
export const FindDetails = memo(function FindDetails({
  aim,
  predicted,
  batchG,
  onBatch,
}: {
  readonly aim: Lab;
  readonly predicted: Prediction | undefined;
  readonly batchG: number | undefined;
  readonly onBatch: (batchG: number | undefined) => void;
}) {
  const units = useUnits();
  const judged =
    predicted === undefined ? undefined : verdict(aim, predicted.lab, predicted.covariance);
  return (
    <div className="find-details">
      <BatchField batchG={batchG} units={units} onChange={onBatch} />
      {judged === undefined || predicted === undefined ? null : (
        <VerdictFigures
          aim={aim}
          made={predicted.lab}
          plusMinus={judged.plusMinus}
          dE00={judged.dE00}
        />
      )}
    </div>
  );
});
