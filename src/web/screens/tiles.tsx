import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import type { RecordOf } from '../../contract/book/record.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { type OpenClays, useClays } from '../book/clays.ts';
import { useColours } from '../book/colours.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { AddTile } from './add-tile.tsx';
import { NextTiles } from './tiles/next-tiles.tsx';
import { Overrule } from './tiles/overrule.tsx';
import { RawAndBaked } from './tiles/raw-and-baked.tsx';
import { type TileInSight, tilesInSight } from './tiles/tiles-in-sight.ts';
import { whatIsSaid } from './tiles/what-is-said.ts';

const SHOWN = 120;

/** What colour is this tile really, did baking change it, and which one should come next? */
export function Tiles() {
  const blocks = useAll('block');
  const tiles = useAll('tile');
  const mixes = useAll('mix');
  const colours = useColours();
  const clays = useClays();
  const { nameOf } = useBlockNames();
  const [adding, setAdding] = useState<RecordOf<'block'> | undefined>();
  const [judging, setJudging] = useState<RecordOf<'reading'> | undefined>();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const inSight = useMemo(
    () =>
      tilesInSight({
        tiles: tiles.records,
        mixes: mixes.byId,
        blocks: blocks.records,
        colours,
        nameOf,
        open,
      }),
    [tiles.records, mixes.byId, blocks.records, colours, nameOf, open],
  );
  const { data: foretold } = useQuery({
    queryKey: ['clays', 'tiles', open?.modelId, inSight.map(({ key }) => key)],
    enabled: open !== undefined && !open.rough,
    queryFn: () => foretoldOf(open!, inSight),
  });
  if (tiles.isPending || colours.isPending) return <JobProgress what="Laying out your tiles" />;
  return (
    <div className="screen">
      <header>
        <h1>Tiles</h1>
        <p className="soft">
          Every sample with its reading: raw on the left, baked on the right, and what the other
          tiles say of it.
        </p>
        <div className="doings">
          <Link className="button" to="/tiles/photo">
            Read tiles from a photo
          </Link>
        </div>
      </header>
      <NextTiles clays={open} names={nameOf} />
      {inSight.length === 0 ? (
        <EmptyState
          title="No tile is read yet"
          doings={
            blocks.records.length === 0 ? (
              <Link className="button" data-kind="main" to="/">
                Name your blocks
              </Link>
            ) : (
              <Button kind="main" onPress={() => setAdding(blocks.records[0])}>
                Read a tile of {nameOf(blocks.records[0].id)}
              </Button>
            )
          }
        >
          Roll a sheet 3 mm thick, cut a square, stamp its code in, bake it as the packet says, let
          it cool, and give it a colour here.
        </EmptyState>
      ) : (
        <section className="bench" aria-label="Tiles">
          <ul className="swatches" data-size="large">
            {inSight.slice(0, SHOWN).map((tile) => (
              <li key={tile.key} style={{ listStyle: 'none' }} className="sample">
                <RawAndBaked tile={tile} />
                <span className="sample-name">{tile.title}</span>
                <span className="small soft">{whatIsSaid(tile, foretold?.get(tile.key))}</span>
                {tile.baked === undefined ? null : (
                  <span className="doings">
                    <Button
                      kind="quiet"
                      aria-label={`Overrule ${tile.title} by eye`}
                      onPress={() => setJudging(tile.baked)}
                    >
                      Overrule by eye
                    </Button>
                  </span>
                )}
              </li>
            ))}
          </ul>
          {inSight.length > SHOWN ? (
            <p className="soft">
              The newest {SHOWN} of {inSight.length}.
            </p>
          ) : null}
        </section>
      )}
      {blocks.records.length === 0 ? null : (
        <Part title="Read a tile of a block">
          <div className="doings">
            {blocks.records.slice(0, 60).map((block) => (
              <Button key={block.id} onPress={() => setAdding(block)}>
                {nameOf(block.id)}
              </Button>
            ))}
          </div>
        </Part>
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
      {judging === undefined ? null : (
        <Overrule reading={judging} onClose={() => setJudging(undefined)} />
      )}
    </div>
  );
}

async function foretoldOf(
  { desk }: OpenClays,
  tiles: readonly TileInSight[],
): Promise<ReadonlyMap<string, Lab>> {
  const found = new Map<string, Lab>();
  for (const { key, shares } of tiles.slice(0, SHOWN)) {
    if (shares !== undefined) found.set(key, (await desk.foretell(shares)).lab);
  }
  return found;
}
