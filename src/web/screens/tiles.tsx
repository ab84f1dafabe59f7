import { Link } from '@tanstack/react-router';
import { useEffect, useMemo, useState } from 'react';
import type { RecordOf } from '../../domain/records/record.ts';
import { wordsOf } from '../book/change.ts';
import { useClays } from '../book/clays.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll, useRecord } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part, Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { TurnPages } from '../parts/turn-pages.tsx';
import { AddTile } from './add-tile.tsx';
import { EditTile } from './tiles/edit-tile.tsx';
import { NextTiles } from './tiles/next-tiles.tsx';
import { Override } from './tiles/override.tsx';
import { RawAndBaked } from './tiles/raw-and-baked.tsx';
import { useTileRecords, useTilesInSight } from './tiles/tiles-in-sight.ts';
import { whatIsSaid } from './tiles/what-is-said.ts';
import { WhereRead } from './tiles/where-read.tsx';
import '../look/tiles.css';

/** Tiles per page. */
const SHOWN = 60;

/** What colour is each tile, did baking change it, and which tile should come next? */
export function Tiles() {
  const blocks = useAll('block');
  const clays = useClays();
  const { nameOf } = useBlockNames();
  const [adding, setAdding] = useState<RecordOf<'block'> | undefined>();
  const [editing, setEditing] = useState<string | undefined>();
  const [judging, setJudging] = useState<string | undefined>();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const sheet = useTileRecords();
  const [page, setPage] = useState(0);
  const { total, want, at } = sheet;
  const shown = Math.min(page, Math.max(0, Math.ceil((total ?? 0) / SHOWN) - 1));
  const from = shown * SHOWN;
  const to = Math.min(total ?? 0, from + SHOWN);
  useEffect(() => want(from, Math.max(from + 1, to)), [want, from, to]);
  const rows = useMemo(
    () => Array.from({ length: to - from }, (_, i) => at(from + i)).flatMap((row) => row ?? []),
    [at, from, to],
  );
  const { tiles: inSight, predicted } = useTilesInSight(rows, open);
  if (total === undefined) {
    return sheet.fault === null ? (
      <JobProgress what="Loading tiles" />
    ) : (
      <p className="field-no">{wordsOf(sheet.fault)}</p>
    );
  }
  const turn = (where: 'above' | 'below') => (
    <TurnPages key={`${where} ${shown}`} total={total} each={SHOWN} page={shown} onTurn={setPage} />
  );
  return (
    <div className="screen">
      <header>
        <h1>Tiles</h1>
        <p className="soft">
          Every tile with its measured colour: raw left, baked right. Tiles that disagree with the
          others are marked.
        </p>
        <div className="actions">
          <Link to="/clay-model">Clay model</Link>
        </div>
      </header>
      <div className="tiles-ways">
        <NextTiles clays={open} names={nameOf} />
        <Part title="Add a reading">
          <div className="actions">
            <Link className="button" to="/tiles/photo">
              Add tiles from a photo
            </Link>
          </div>
          {blocks.records.length === 0 ? null : (
            <Pick
              label="Or add one tile of"
              value=""
              onChange={(id) => setAdding(blocks.byId.get(id))}
              options={[
                ['', 'choose a block'],
                ...blocks.records
                  .map(({ id }) => [id, nameOf(id)] as const)
                  .toSorted(([, one], [, other]) => one.localeCompare(other, 'en')),
              ]}
            />
          )}
        </Part>
      </div>
      {total === 0 ? (
        <EmptyState
          title="No tiles yet"
          actions={
            blocks.records.length === 0 ? (
              <Link className="button" data-kind="main" to="/">
                Add your blocks
              </Link>
            ) : (
              <Button kind="main" onPress={() => setAdding(blocks.records[0])}>
                Add a tile of {nameOf(blocks.records[0].id)}
              </Button>
            )
          }
        >
          Roll clay 3 mm thick, cut a square, stamp its code into it, bake it as the package says,
          let it cool, and add its colour here.
        </EmptyState>
      ) : (
        <section className="bench" aria-label="Tiles">
          {turn('above')}
          <ul className="swatches" data-size="large">
            {inSight.map((tile) => (
              <li key={tile.key} style={{ listStyle: 'none' }} className="sample">
                <RawAndBaked tile={tile} />
                <span className="sample-name">{tile.title}</span>
                <Said text={whatIsSaid(tile, predicted.get(tile.key))} />
                <span className="actions">
                  <WhereRead tile={tile} />
                  {tile.isTile ? (
                    <Button
                      kind="quiet"
                      aria-label={`Edit tile ${tile.title}`}
                      onPress={() => setEditing(tile.key)}
                    >
                      Edit tile
                    </Button>
                  ) : null}
                  {tile.baked === undefined ? null : (
                    <Button
                      kind="quiet"
                      aria-label={`Override by eye: ${tile.title}`}
                      onPress={() => setJudging(tile.baked?.id)}
                    >
                      Override by eye
                    </Button>
                  )}
                </span>
              </li>
            ))}
          </ul>
          {turn('below')}
        </section>
      )}
      {adding === undefined ? null : (
        <AddTile
          of={{ kind: 'block', id: adding.id }}
          code={undefined}
          title={nameOf(adding.id)}
          basis="volume"
          onClose={() => setAdding(undefined)}
        />
      )}
      {editing === undefined ? null : (
        <EditOne id={editing} onClose={() => setEditing(undefined)} />
      )}
      {judging === undefined ? null : (
        <OverrideOne id={judging} onClose={() => setJudging(undefined)} />
      )}
    </div>
  );
}

function Said({ text }: { readonly text: string }) {
  return text === '' ? null : <span className="small">{text}</span>;
}

/** Edits the tile as the book has it now. */
function EditOne({ id, onClose }: { id: string; onClose: () => void }) {
  const { record } = useRecord(id);
  return record?.kind === 'tile' ? <EditTile tile={record} onClose={onClose} /> : null;
}

/** Overrides the reading as the book has it now. */
function OverrideOne({ id, onClose }: { id: string; onClose: () => void }) {
  const { record } = useRecord(id);
  return record?.kind === 'reading' ? <Override reading={record} onClose={onClose} /> : null;
}
