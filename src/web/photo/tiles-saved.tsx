import { Link } from '@tanstack/react-router';
import { useAll } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { JobLine } from '../parts/job-line.tsx';
import { Tile } from '../parts/tile.tsx';
import { changesOfJob } from '../screens/clay-model/changes-of-job.ts';
import { goBack, learnCall, useModelUpdate } from '../screens/clay-model/model-update.ts';
import { WhatChanged } from '../screens/clay-model/what-changes.tsx';
import { count } from '../screens/count.ts';
import type { Accepted, SavedTile } from './accept-photos.ts';

/** The tiles that were saved, how far each is from what was predicted, and the update of the clay model. */
export function TilesSaved({
  accepted: { tiles, raw },
  onMore,
}: {
  readonly accepted: Accepted;
  readonly onMore: () => void;
}) {
  return (
    <div className="screen">
      <header>
        <h1>{count(tiles.length, 'tile')} saved</h1>
        {raw ? (
          <p className="lead">
            These tiles are raw. Bake them as the package says, let them cool and photograph them
            again. Kneadwell then knows how baking changes them.
          </p>
        ) : null}
      </header>
      {raw ? null : <UpdateHere />}
      <ul className="tile-rows">
        {tiles.map((tile) => (
          <SavedRow key={tile.key} tile={tile} />
        ))}
      </ul>
      <div className="actions">
        <Link className="button" to="/tiles">
          Show all tiles
        </Link>
        <Button onPress={onMore}>Add another photo</Button>
      </div>
    </div>
  );
}

function SavedRow({ tile: { title, lab, seen } }: { readonly tile: SavedTile }) {
  return (
    <li className="tile-row" data-saved>
      <div className="tile-row-pair">
        <Tile lab={lab} name={`${title}, read`} />
        {seen === undefined ? null : <Tile lab={seen.lab} name={`${title}, predicted`} />}
      </div>
      <p>
        <strong>{title}</strong>
        {seen === undefined ? '' : `, ${seen.dE00.toFixed(1)} from what was predicted`}
      </p>
    </li>
  );
}

/** The clay model takes in the new tiles at one press, and says what that changed. */
function UpdateHere() {
  const models = useAll('clay-model');
  const job = useModelUpdate();
  const done = job.job?.state === 'done';
  const [newest, older] = [...models.records].sort((a, b) => (a.createdAt < b.createdAt ? 1 : -1));
  if (!done) {
    return (
      <div className="stack">
        <p className="lead">
          Update the clay model with these tiles, and the next recipes get better.
        </p>
        <div className="actions">
          <Button kind="main" isDisabled={job.running} onPress={() => job.start(learnCall())}>
            Update the model
          </Button>
        </div>
        <JobLine here={job} what="Updating the clay model" />
      </div>
    );
  }
  return (
    <section className="part" aria-live="polite">
      <h2>The clay model is updated</h2>
      {older === undefined ? null : <WhatChanged {...changesOfJob(job.job)} />}
      <div className="actions">
        <Link className="button" data-kind="main" to="/find">
          Find a recipe
        </Link>
        {newest === undefined || older === undefined ? null : (
          <Button kind="quiet" onPress={() => goBack(newest)}>
            Use the model before
          </Button>
        )}
      </div>
    </section>
  );
}
