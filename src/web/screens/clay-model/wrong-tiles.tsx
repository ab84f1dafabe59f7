import { useState } from 'react';
import type { OpenExplanation } from '../../../core/find/known-clays.ts';
import {
  blocksOfModel,
  rightAsTheyAreSteps,
  takeSoSteps,
} from '../../../domain/changes/settle-explanation.ts';
import type { BookStep } from '../../../domain/records/change.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { changeBook, wordsOf } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';

/** What may be wrong with the tiles, to be settled by the user. */
export function WrongTiles({
  model,
  explanations,
}: {
  readonly model: RecordOf<'clay-model'>;
  readonly explanations: readonly OpenExplanation[];
}) {
  const readings = useAll('reading');
  const tiles = useAll('tile');
  const [no, setNo] = useState<string | undefined>();
  if (explanations.length === 0 || readings.isPending || tiles.isPending) return null;
  const readingOf = new Map(model.body.learnedFrom.map(({ hash, readingId }) => [hash, readingId]));
  const recordsOf = ({ hashes }: OpenExplanation) =>
    hashes.flatMap((hash) => readings.records.filter(({ id }) => id === readingOf.get(hash)));
  const isSettled = explanations
    .flatMap(recordsOf)
    .some(({ changedAt }) => changedAt > model.createdAt);
  if (isSettled) {
    return (
      <Part title="Which tiles may be wrong?">
        <p>
          These tiles have changed since the model was made. Update the model to see the result.
        </p>
      </Part>
    );
  }
  const save = async (what: string, steps: readonly BookStep[] | undefined) => {
    setNo(undefined);
    if (steps === undefined) {
      setNo('A tile or clay of this explanation is no longer in the book. Update the model first.');
      return;
    }
    try {
      await changeBook(what, steps);
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  const takeSo = (explanation: OpenExplanation) =>
    save(
      `Corrected ${explanation.tiles.join(', ')}`.slice(0, 300),
      takeSoSteps(explanation, {
        readings: recordsOf(explanation),
        tileOf: ({ body }) => tiles.records.find(({ id }) => id === body.of.id),
        blockOf: blocksOfModel(model),
        basis: model.body.basis,
      }),
    );
  const wrong = explanations.filter(({ faults }) => faults.length > 0);
  const suspected = new Map(wrong.flatMap(recordsOf).map((record) => [record.id, record]));
  return (
    <Part title="Which tiles may be wrong?">
      <ul className="findings">
        {wrong.map((explanation) => (
          <li key={explanation.sentence}>
            <p>
              {explanation.sentence} <span className="soft">{chanceOf(explanation)}</span>
            </p>
            <Button
              aria-label={`Take it so: ${explanation.sentence}`}
              onPress={() => void takeSo(explanation)}
            >
              Take it so
            </Button>
          </li>
        ))}
      </ul>
      <div className="actions">
        <Button
          onPress={() =>
            void save(
              'Checked tiles that seemed wrong',
              rightAsTheyAreSteps([...suspected.values()]),
            )
          }
        >
          It is right as it is
        </Button>
      </div>
      <p className="small soft">
        Until this is settled, predictions count on the likeliest explanation, and their ± allows
        for the others.
      </p>
      {no === undefined ? null : <p className="field-no">{no}</p>}
    </Part>
  );
}

function chanceOf({ probability }: OpenExplanation): string {
  const tenths = Math.round(10 * probability);
  return tenths >= 10 ? 'Almost sure.' : tenths <= 0 ? 'Unlikely.' : `${tenths} in 10.`;
}
