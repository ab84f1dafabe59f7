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
import { count } from './count.ts';

/** How well does Kneadwell know how my clays mix? */
export function ClayModel() {
  const models = useAll('clay-model');
  const tiles = useAll('tile');
  const readings = useAll('reading');
  const job = useJob(
    () => void queries.invalidateQueries({ queryKey: ['all', 'clay-model'] }),
    'learn',
  );
  if (models.isPending || readings.isPending) return <JobProgress what="Loading the clay model" />;
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
        <h1>Clay model</h1>
        <p className="lead">
          {newest === undefined
            ? 'Kneadwell learns from baked tiles how strongly each clay colours a mix.'
            : `Last updated ${whenInWords(newest.createdAt)} from ${count(newest.body.learnedFrom.length, 'reading')}${
                since > 0
                  ? `; ${count(since, 'new reading')} since then`
                  : '; no new readings since then'
              }.`}
        </p>
      </header>
      {baked === 0 ? (
        <EmptyState
          title="No readings of baked tiles yet"
          actions={
            <Link className="button" data-kind="main" to="/tiles">
              Which tile to bake first
            </Link>
          }
        >
          Bake one plain tile of each clay, and one of each mixed with white. Two tiles per clay are
          enough for a good start.
        </EmptyState>
      ) : (
        <div className="stack">
          <div className="actions">
            <Button kind={since > 0 ? 'main' : 'plain'} isDisabled={job.running} onPress={start}>
              {newest === undefined ? 'Build the model' : 'Update the model'}
            </Button>
            {newest === undefined ? null : (
              <Link className="button" {...(since > 0 ? {} : { 'data-kind': 'main' })} to="/find">
                Find a recipe
              </Link>
            )}
            <span className="soft small">{count(tiles.records.length, 'tile')} in the book</span>
          </div>
          <JobLine here={job} what="Updating the clay model" />
        </div>
      )}
      {newest === undefined ? null : <Known model={newest} />}
    </div>
  );
}
