import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import type { RecordOf } from '../../../domain/records/record.ts';
import { Part } from '../../parts/field.tsx';
import { JobProgress } from '../../parts/job-progress.tsx';
import { count } from '../count.ts';
import { type Inspected, inspectedQuery, type Report } from './inspected.ts';
import { LeastKnown } from './least-known.tsx';
import { PredictionErrors } from './prediction-errors.tsx';
import { TilePairs } from './tile-pairs.tsx';
import { WrongTiles } from './wrong-tiles.tsx';

/** With fewer tiles per clay the others hardly predict the one left out; common practice, no source. */
const ENOUGH_A_CLAY = 2;

/** Sentences shown without a press. */
const FEW = 2;

const NONE: NonNullable<Inspected['explanations']> = [];

/** How good a clay model is: its errors, its least certain clays, and the tiles that disagree. */
export function HowGood({ model }: { readonly model: RecordOf<'clay-model'> }) {
  const { data } = useQuery(inspectedQuery(model.id, model.version));
  if (data === undefined) return <JobProgress what="Loading" />;
  const report = data.report as unknown as Report;
  const doubted = report.clays.flatMap(({ plain }) => plain?.why ?? []);
  const disagreeing = [...report.outlying, ...report.drifts].map(({ sentence }) => sentence);
  const outlying = report.outlying.flatMap(
    ({ tile }) => report.leaveOneOut.find((one) => one.tile === tile) ?? [],
  );
  return (
    <>
      <WrongTiles model={model} explanations={data.explanations ?? NONE} report={report} />
      <PredictionErrors
        report={report}
        few={report.leaveOneOut.length < ENOUGH_A_CLAY * data.clays.length}
      />
      <LeastKnown clays={data.clays} />
      {doubted.length === 0 ? null : (
        <Part title="Clays not predicted as they were read">
          <Sentences said={doubted} what={count(doubted.length, 'clay')} />
        </Part>
      )}
      {disagreeing.length === 0 ? null : (
        <Part title="Tiles that disagree">
          <p>Please check these: wrong recipe, bad light, or a different batch of clay?</p>
          <TilePairs
            label="Tiles that disagree, measured above, predicted below"
            pairs={outlying}
          />
          <Sentences said={disagreeing} what="What each says" />
          <div className="actions">
            <Link className="button" to="/tiles" search={{ order: 'second-look' }}>
              Open Tiles
            </Link>
          </div>
        </Part>
      )}
    </>
  );
}

/** A few sentences as they are; many behind a heading of their own. */
function Sentences({ said, what }: { readonly said: readonly string[]; readonly what: string }) {
  const list = (
    <ul className="findings">
      {said.map((sentence) => (
        <li key={sentence}>{sentence}</li>
      ))}
    </ul>
  );
  if (said.length <= FEW) return list;
  return (
    <details>
      <summary>{what}</summary>
      {list}
    </details>
  );
}
