import '../look/learn.css';
import { Link } from '@tanstack/react-router';
import { useJob } from '../book/job.ts';
import { queries, useAll } from '../book/queries.ts';
import { whenInWords } from '../book/when-in-words.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobLine } from '../parts/job-line.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Known } from './clay-model/known.tsx';
import { count } from './start.tsx';

/** How do these clays mix, and how surely is it known? */
export function ClayModel() {
  const models = useAll('clay-model');
  const tiles = useAll('tile');
  const readings = useAll('reading');
  const job = useJob(
    () => void queries.invalidateQueries({ queryKey: ['all', 'clay-model'] }),
    'learn',
  );
  if (models.isPending || readings.isPending) return <JobProgress what="Opening what is learned" />;
  const newest = [...models.records].sort((a, b) => (a.createdAt < b.createdAt ? 1 : -1))[0];
  const baked = readings.records.filter(({ body }) => body.state === 'baked').length;
  const start = () => {
    const day = new Date().toISOString().slice(0, 10);
    job.start({ do: 'learn', name: `Learned on ${day}` });
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
            ? 'Kneadwell learns from baked tiles how strongly each clay colours a mix.'
            : `Last learned ${whenInWords(newest.createdAt)} from ${count(newest.body.learnedFrom.length, 'reading')}${
                since > 0
                  ? `; ${count(since, 'reading is new', 'readings are new')} since`
                  : '; nothing is new since'
              }.`}
        </p>
      </header>
      {baked === 0 ? (
        <EmptyState
          title="No baked tile is read yet"
          actions={
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
          <div className="actions">
            <Button kind={since > 0 ? 'main' : 'plain'} isDisabled={job.running} onPress={start}>
              {newest === undefined ? 'Build the model' : 'Update the model'}
            </Button>
            {newest === undefined ? null : (
              <Link className="button" {...(since > 0 ? {} : { 'data-kind': 'main' })} to="/find">
                Find a colour
              </Link>
            )}
            <span className="soft small">{count(tiles.records.length, 'tile')} in the book</span>
          </div>
          <JobLine here={job} what="Learning how your clays mix" />
        </div>
      )}
      {newest === undefined ? null : <Known model={newest} />}
    </div>
  );
}
