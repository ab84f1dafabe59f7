import { useMemo, useState } from 'react';
import type { OpenExplanation } from '../../../core/find/known-clays.ts';
import {
  blocksOfModel,
  rightAsTheyAreSteps,
  takeSoSteps,
} from '../../../domain/changes/settle-explanation.ts';
import type { BookStep } from '../../../domain/records/change.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { useChangedSince } from '../../book/changed-since.ts';
import { useAll } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import type { Report } from './inspected.ts';
import { TilePairs } from './tile-pairs.tsx';

interface Suspected {
  readonly explanation: OpenExplanation;
  readonly readings: readonly RecordOf<'reading'>[];
  readonly tiles: readonly RecordOf<'tile'>[];
}

/** What may be wrong with the tiles, to be settled by the user. */
export function WrongTiles({
  model,
  explanations,
  report,
}: {
  readonly model: RecordOf<'clay-model'>;
  readonly explanations: readonly OpenExplanation[];
  readonly report: Report;
}) {
  const readings = useAll('reading');
  const tiles = useAll('tile');
  const [no, setNo] = useState<string | undefined>();
  const { suspected, isGone } = useMemo(() => {
    const readingOf = new Map(
      model.body.learnedFrom.map(({ hash, readingId }) => [hash, readingId]),
    );
    const suspected = explanations.map((explanation): Suspected => {
      const own = explanation.hashes.flatMap(
        (hash) => readings.byId.get(readingOf.get(hash) ?? '') ?? [],
      );
      const of = new Set(own.map(({ body }) => body.of.id));
      return {
        explanation,
        readings: own,
        tiles: [...of].flatMap((id) => tiles.byId.get(id) ?? []),
      };
    });
    const isGone = suspected.some(
      ({ explanation: { hashes }, readings }) => readings.length < hashes.length,
    );
    return { suspected, isGone };
  }, [model, explanations, readings.byId, tiles.byId]);
  const touched = useChangedSince(
    [...new Set(suspected.flatMap((one) => [...one.readings, ...one.tiles]))],
    model.createdAt,
  );
  if (explanations.length === 0 || readings.isPending || tiles.isPending || touched.isPending) {
    return null;
  }
  if (touched.changed || isGone) {
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
      await sendChange(what, steps);
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  const takeSo = ({ explanation, readings: own }: Suspected) =>
    save(
      `Corrected ${explanation.tiles.join(', ')}`.slice(0, 300),
      takeSoSteps(explanation, {
        readings: own,
        tileOf: ({ body }) => tiles.byId.get(body.of.id),
        blockOf: blocksOfModel(model),
        basis: model.body.basis,
      }),
    );
  const wrong = suspected.filter(({ explanation }) => explanation.faults.length > 0);
  const doubted = new Map(
    wrong.flatMap((one) => one.readings.map((record) => [record.id, record])),
  );
  return (
    <Part title="Which tiles may be wrong?">
      <ul className="wrong-tiles">
        {wrong.map((one) => (
          <li key={one.explanation.sentence} className="stack tight">
            <SuspectedTiles of={one} report={report} />
            <p>
              {one.explanation.sentence} <b>{chanceOf(one.explanation)}</b>
            </p>
            <div className="actions">
              <Button
                aria-label={`Take it so: ${one.explanation.sentence}`}
                onPress={() => takeSo(one)}
              >
                Take it so
              </Button>
            </div>
          </li>
        ))}
      </ul>
      <div className="actions">
        <Button
          onPress={() =>
            save('Checked tiles that seemed wrong', rightAsTheyAreSteps([...doubted.values()]))
          }
        >
          It is right as it is
        </Button>
      </div>
      <p className="small soft">Until you decide, the ± of recipes allows for all of these.</p>
      {no === undefined ? null : <p className="field-no">{no}</p>}
    </Part>
  );
}

/** The tiles an explanation is about: as read, and below as the other tiles predict them. */
function SuspectedTiles({
  of: { explanation, readings, tiles },
  report,
}: {
  readonly of: Suspected;
  readonly report: Report;
}) {
  const rows = explanation.tiles.flatMap((name, i) => {
    const row = report.leaveOneOut.find(({ tile }) => tile === name);
    const tile = tiles.find(({ id }) => id === readings[i]?.body.of.id);
    return row === undefined ? [] : [{ ...row, id: tile?.id }];
  });
  if (rows.length === 0) return null;
  return <TilePairs label="Measured above, predicted below" pairs={rows} />;
}

function chanceOf({ probability }: OpenExplanation): string {
  const tenths = Math.round(10 * probability);
  return tenths >= 10 ? 'Almost sure.' : tenths <= 0 ? 'Unlikely.' : `${tenths} in 10.`;
}
