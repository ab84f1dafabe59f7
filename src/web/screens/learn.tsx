import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import type { ApiAnswer } from '../../contract/api/routes.ts';
import type { RecordOf } from '../../contract/book/record.ts';
import type { ClayFile } from '../../contract/clay-file.ts';
import { verdictWord } from '../../core/recipe/verdict.ts';
import { client } from '../book/client.ts';
import { useJob } from '../book/job.ts';
import { queries, useAll } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import { JobLine } from '../parts/job-line.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Sample, Tile } from '../parts/tile.tsx';
import { whenInWords } from './record-history.tsx';
import { count } from './start.tsx';

/** How do these clays mix, and how surely is it known? */
export function Learn() {
  const models = useAll('clay-model');
  const tiles = useAll('tile');
  const readings = useAll('reading');
  const job = useJob(
    () => void queries.invalidateQueries({ queryKey: ['all', 'clay-model'] }),
    'learn',
  );
  if (models.isPending || readings.isPending) return <JobProgress what="Opening what is learnt" />;
  const newest = [...models.records].sort((a, b) => (a.createdAt < b.createdAt ? 1 : -1))[0];
  const baked = readings.records.filter(({ body }) => body.state === 'baked').length;
  const start = () => {
    const day = new Date().toISOString().slice(0, 10);
    job.start({ do: 'learn', name: `Learnt on ${day}` });
  };
  const since =
    newest === undefined
      ? baked
      : readings.records.filter(
          ({ body, changedAt }) => body.state === 'baked' && changedAt > newest.createdAt,
        ).length;
  return (
    <div className="screen">
      <header>
        <h1>Learn</h1>
        <p className="lead">
          {newest === undefined
            ? 'From baked tiles it learns how much of each clay colours how much of another.'
            : `Last learnt ${whenInWords(newest.createdAt)} from ${count(newest.body.learntFrom.length, 'reading')}${
                since > 0
                  ? `; ${count(since, 'reading is new', 'readings are new')} since`
                  : '; nothing is new since'
              }.`}
        </p>
      </header>
      {baked === 0 ? (
        <EmptyState
          title="No baked tile is read yet"
          doings={
            <Link className="button" data-kind="main" to="/tiles">
              See which tile to bake first
            </Link>
          }
        >
          Bake a tile of each clay, and one of each with white. Two tiles a clay teach most of what
          there is to know.
        </EmptyState>
      ) : (
        <div className="stack">
          <div className="doings">
            <Button kind={since > 0 ? 'main' : 'plain'} isDisabled={job.running} onPress={start}>
              {newest === undefined ? 'Learn from the tiles' : 'Learn again'}
            </Button>
            <span className="soft small">{count(tiles.records.length, 'tile')} in the book</span>
          </div>
          <JobLine here={job} what="Learning how your clays mix" />
        </div>
      )}
      {newest === undefined ? null : <Known model={newest} />}
    </div>
  );
}

type Inspected = ApiAnswer<'inspectClay'>;

function Known({ model }: { model: RecordOf<'clay-model'> }) {
  const { data } = useQuery({
    queryKey: ['clays', 'inspect', model.id, model.version],
    queryFn: async () =>
      (await client.call('inspectClay', { params: { id: model.id }, query: {} })).body as Inspected,
  });
  if (data === undefined) return <JobProgress what="Looking at what is known" />;
  const report = data.report as unknown as ClayFile['report'];
  const bySureness = [...data.parents].sort((one, other) => other.plusMinus - one.plusMinus);
  return (
    <>
      <Part title="Each tile, foretold from all the others">
        <p>
          The square on the left is the tile as it was read, the one on the right what the others
          foretold. On average they are {report.meanDE00.toFixed(1)} dE00 apart, which is{' '}
          {verdictWord(report.meanDE00)}; the half of them within {report.medianDE00.toFixed(1)}.
        </p>
        <ul className="bench swatches">
          {[...report.leaveOneOut]
            .sort((one, other) => other.dE00 - one.dE00)
            .map((tile) => (
              <li key={tile.tile} style={{ listStyle: 'none' }} className="sample">
                <div className="recipe-pair">
                  <Tile lab={tile.read} name={`${tile.tile}, read`} />
                  <Tile lab={tile.lab} name={`${tile.tile}, foretold`} />
                </div>
                <span className="contact-name">{tile.tile}</span>
                <span className="small soft">
                  {verdictWord(tile.dE00)}, {tile.dE00.toFixed(1)}
                </span>
              </li>
            ))}
        </ul>
      </Part>
      <Part title="The least known first">
        <ul className="bench swatches">
          {bySureness.map((parent) => (
            <li key={parent.name} style={{ listStyle: 'none' }}>
              <Sample lab={parent.shown} name={parent.name}>
                <span className="small soft">
                  ± {parent.plusMinus.toFixed(1)}, {count(parent.tiles, 'reading')},{' '}
                  {parent.knownFrom}
                </span>
              </Sample>
            </li>
          ))}
        </ul>
      </Part>
      {report.outlying.length === 0 ? null : (
        <Part title="Tiles that contradict the others">
          <ul>
            {report.outlying.map((tile) => (
              <li key={tile.tile}>{tile.sentence}</li>
            ))}
          </ul>
        </Part>
      )}
    </>
  );
}
