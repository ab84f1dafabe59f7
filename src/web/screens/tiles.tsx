import '../look/tiles.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useEffect, useMemo, useState } from 'react';
import type { RecordOf } from '../../domain/records/record.ts';
import { type TileInList, useAllTiles } from '../book/all-tiles.ts';
import { wordsOf } from '../book/change.ts';
import { type OpenClays, useClays } from '../book/clays.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { byHue } from '../colour/by-hue.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { ClayDialog } from '../parts/clay-picker.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { TurnPages } from '../parts/turn-pages.tsx';
import { AddTile } from './add-tile.tsx';
import { NextTiles } from './tiles/next-tiles.tsx';
import { TileCell } from './tiles/tile-cell.tsx';
import { useTileRecords, useTilesInSight } from './tiles/tiles-in-sight.ts';
import type { TileOrder, TilesQuestion } from './tiles/tiles-question.ts';
import { TilesTabs } from './tiles/tiles-tabs.tsx';
import { surprise } from './tiles/what-is-said.ts';

/** Tiles per page. */
const SHOWN = 60;

/** What colour is each tile, which need a second look, and which tile should come next? */
export function Tiles() {
  const { order = 'newest' } = useSearch({ strict: false }) as TilesQuestion;
  const navigate = useNavigate();
  const blocks = useAll('block');
  const clays = useClays();
  const { nameOf } = useBlockNames();
  const [adding, setAdding] = useState<'which' | RecordOf<'block'> | undefined>();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const sheet = useTileRecords();
  const { total } = sheet;
  if (total === undefined) {
    return sheet.fault === null ? (
      <JobProgress what="Loading tiles" />
    ) : (
      <p className="field-no">{wordsOf(sheet.fault)}</p>
    );
  }
  return (
    <div className="screen">
      <header className="head-line">
        <h1>Tiles</h1>
        <TilesTabs />
        <div className="actions">
          <Link className="button" data-kind="main" to="/tiles/photo">
            Add tiles from a photo
          </Link>
          {blocks.records.length === 0 ? null : (
            <Button onPress={() => setAdding('which')}>Add a tile</Button>
          )}
        </div>
      </header>
      {total === 0 ? (
        <EmptyState
          picture="tiles"
          title="No tiles yet"
          {...(blocks.records.length > 0
            ? {}
            : {
                actions: (
                  <Link className="button" data-kind="main" to="/">
                    Add your blocks
                  </Link>
                ),
              })}
        >
          Roll clay 3 mm thick, cut a square, stamp its code into it, bake it as the package says,
          let it cool, and add its colour here.
        </EmptyState>
      ) : (
        <>
          <NextTiles clays={open} names={nameOf} />
          <div className="head-line">
            <h2>All tiles</h2>
            <Choice<TileOrder>
              label="Sort by"
              value={order}
              onChange={(next) =>
                void navigate({ to: '/tiles', search: next === 'newest' ? {} : { order: next } })
              }
              options={[
                ['newest', 'Newest'],
                ['hue', 'By hue'],
                ['second-look', 'Second look'],
              ]}
            />
          </div>
          {order === 'newest' ? (
            <Newest sheet={sheet} open={open} total={total} />
          ) : (
            <Sorted order={order} open={open} />
          )}
        </>
      )}
      {adding === 'which' ? (
        <ClayDialog
          title="A tile of which clay?"
          onChoose={(id) => setAdding(blocks.byId.get(id))}
          onClose={() => setAdding(undefined)}
        />
      ) : adding === undefined ? null : (
        <AddTile
          of={{ kind: 'block', id: adding.id }}
          code={undefined}
          title={nameOf(adding.id)}
          basis="volume"
          start={open?.byBlock.get(adding.id)?.lab}
          onClose={() => setAdding(undefined)}
        />
      )}
    </div>
  );
}

/** The newest first; only the rows of the page in sight are fetched. */
function Newest({
  sheet: { want, at },
  open,
  total,
}: {
  readonly sheet: ReturnType<typeof useTileRecords>;
  readonly open: OpenClays | undefined;
  readonly total: number;
}) {
  const [page, setPage] = useState(0);
  const shown = Math.min(page, Math.max(0, Math.ceil(total / SHOWN) - 1));
  const from = shown * SHOWN;
  const to = Math.min(total, from + SHOWN);
  useEffect(() => want(from, Math.max(from + 1, to)), [want, from, to]);
  const rows = useMemo(
    () => Array.from({ length: to - from }, (_, i) => at(from + i)).flatMap((row) => row ?? []),
    [at, from, to],
  );
  return <Sheet rows={rows} open={open} total={total} page={shown} onTurn={setPage} />;
}

/** By hue, or what disagrees most with the other tiles first. */
function Sorted({
  order,
  open,
}: {
  readonly order: 'hue' | 'second-look';
  readonly open: OpenClays | undefined;
}) {
  const [page, setPage] = useState(0);
  const all = useAllTiles();
  const { tiles, predicted } = useTilesInSight(
    order === 'second-look' ? (all ?? NO_ROWS) : NO_ROWS,
    open,
  );
  const rows = useMemo(() => {
    if (all === undefined) return undefined;
    if (order === 'hue') return all.toSorted(rowsByHue);
    const size = new Map(tiles.map((tile) => [tile.key, surprise(tile, predicted.get(tile.key))]));
    return all
      .filter(({ id }) => (size.get(id) ?? 0) > 0)
      .toSorted((one, other) => size.get(other.id)! - size.get(one.id)!);
  }, [all, order, tiles, predicted]);
  if (rows === undefined || (order === 'second-look' && tiles.length > 0 && predicted.size === 0)) {
    return <JobProgress what="Loading tiles" />;
  }
  if (rows.length === 0) return <p>No tile disagrees with the others.</p>;
  const shown = Math.min(page, Math.ceil(rows.length / SHOWN) - 1);
  return (
    <Sheet
      rows={rows.slice(shown * SHOWN, (shown + 1) * SHOWN)}
      open={open}
      total={rows.length}
      page={shown}
      onTurn={setPage}
    />
  );
}

const NO_ROWS: readonly TileInList[] = [];

function rowsByHue(one: TileInList, other: TileInList): number {
  const [first, second] = [one, other].map(({ raw, baked }) => (baked ?? raw)?.lab);
  if (first === undefined || second === undefined) return first === undefined ? 1 : -1;
  return byHue(first, second);
}

function Sheet({
  rows,
  open,
  total,
  page,
  onTurn,
}: {
  readonly rows: readonly TileInList[];
  readonly open: OpenClays | undefined;
  readonly total: number;
  readonly page: number;
  readonly onTurn: (page: number) => void;
}) {
  const { tiles, predicted } = useTilesInSight(rows, open);
  const turn = (where: 'above' | 'below') => (
    <TurnPages key={`${where} ${page}`} total={total} each={SHOWN} page={page} onTurn={onTurn} />
  );
  return (
    <section className="bench" aria-label="Tiles">
      {turn('above')}
      <ul className="swatches tile-cells" data-size="large">
        {tiles.map((tile) => (
          <TileCell key={tile.key} tile={tile} predicted={predicted.get(tile.key)} />
        ))}
      </ul>
      {turn('below')}
    </section>
  );
}
