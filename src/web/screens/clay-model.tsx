import '../look/learn.css';
import '../look/tiles.css';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { useAll } from '../book/queries.ts';
import { whenInWords } from '../book/when-in-words.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobLine } from '../parts/job-line.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { changesOfJob, onlyCompares } from './clay-model/changes-of-job.ts';
import { HowGood } from './clay-model/known.tsx';
import { goBack, learnCall, useModelUpdate } from './clay-model/model-update.ts';
import { WhatChanges } from './clay-model/what-changes.tsx';
import { count } from './count.ts';
import { TilesTabs } from './tiles/tiles-tabs.tsx';

/** How well does Kneadwell know how my clays mix? */
export function ClayModelScreen() {
  const models = useAll('clay-model');
  const tiles = useAll('tile');
  const readings = useAll('reading');
  const job = useModelUpdate();
  const [decided, setDecided] = useState(false);
  if (models.isPending || readings.isPending) return <JobProgress what="Loading the clay model" />;
  const [newest, older] = [...models.records].sort((a, b) => (a.createdAt < b.createdAt ? 1 : -1));
  const baked = readings.records.filter(({ body }) => body.state === 'baked').length;
  /** A first model is saved at once; an update is compared with the model in use before it is saved. */
  const start = (check: boolean) => {
    setDecided(false);
    job.start(learnCall(check));
  };
  const compared = !decided && job.job?.state === 'done' && onlyCompares(job.job);
  const since =
    newest === undefined
      ? baked
      : readings.records.filter(
          ({ body, changedAt }) => body.state === 'baked' && changedAt > newest.createdAt,
        ).length;
  return (
    <div className="screen">
      <header>
        <div className="head-line">
          <h1>Clay model</h1>
          <TilesTabs />
        </div>
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
          picture="tiles"
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
            <Button
              kind={since > 0 ? 'main' : 'plain'}
              isDisabled={job.running}
              onPress={() => start(newest !== undefined)}
            >
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
          {compared ? (
            <WhatChanges
              {...changesOfJob(job.job)}
              busy={job.running}
              onUse={() => start(false)}
              onKeep={() => setDecided(true)}
            />
          ) : null}
          {older === undefined || compared ? null : (
            <div className="actions">
              <Button kind="quiet" onPress={() => goBack(newest)}>
                Use the model of {whenInWords(older.createdAt)}
              </Button>
            </div>
          )}
        </div>
      )}
      {newest === undefined ? null : <HowGood model={newest} />}
    </div>
  );
}
