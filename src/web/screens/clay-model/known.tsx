import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import type { RecordOf } from '../../../domain/records/record.ts';
import { Part } from '../../parts/field.tsx';
import { JobProgress } from '../../parts/job-progress.tsx';
import { type Inspected, inspectedQuery, type Report } from './inspected.ts';
import { LeastKnown } from './least-known.tsx';
import { PredictionErrors } from './prediction-errors.tsx';
import { WrongTiles } from './wrong-tiles.tsx';

/** With fewer tiles per clay the others hardly predict the one left out; common practice, no source. */
const ENOUGH_A_CLAY = 2;

const NONE: NonNullable<Inspected['explanations']> = [];

/** How good a clay model is: its errors, its least certain clays, and the tiles that disagree. */
export function HowGood({ model }: { readonly model: RecordOf<'clay-model'> }) {
  const { data } = useQuery(inspectedQuery(model.id, model.version));
  if (data === undefined) return <JobProgress what="Loading" />;
  const report = data.report as unknown as Report;
  const doubted = report.clays.flatMap(({ plain }) => plain?.why ?? []);
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
          <ul className="findings">
            {doubted.map((why) => (
              <li key={why}>{why}</li>
            ))}
          </ul>
        </Part>
      )}
      {report.outlying.length + report.drifts.length === 0 ? null : (
        <Part title="Tiles that disagree">
          <p>Please check these: wrong recipe, bad light, or a different batch of clay?</p>
          <ul className="findings">
            {report.outlying.map(({ tile, sentence }) => (
              <li key={tile}>{sentence}</li>
            ))}
            {report.drifts.map(({ sentence }) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
          <div className="actions">
            <Link className="button" to="/tiles">
              Open Tiles
            </Link>
          </div>
        </Part>
      )}
    </>
  );
}
