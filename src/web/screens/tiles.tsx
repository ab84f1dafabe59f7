import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { labOfReading } from '../../contract/book/lab-of-reading.ts';
import type { RecordOf } from '../../contract/book/record.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { sideInWords, sidesOf, verdict } from '../../core/recipe/verdict.ts';
import { EyePicker } from '../aims/eye-picker.tsx';
import { change, changeBook, wordsOf } from '../book/change.ts';
import { type OpenClays, useClays } from '../book/clays.ts';
import { type ColoursOfBook, useColours } from '../book/colours.ts';
import { useJob } from '../book/job.ts';
import { titleOfMix, useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field, Part } from '../parts/field.tsx';
import { JobLine } from '../parts/job-line.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { PieceRow } from '../parts/piece-row.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { Tile } from '../parts/tile.tsx';
import type { Share } from '../workers/messages.ts';
import { AddTile } from './add-tile.tsx';

interface TileInSight {
  readonly key: string;
  readonly title: string;
  readonly raw?: RecordOf<'reading'>;
  readonly baked?: RecordOf<'reading'>;
  /** What it is made of, where the open clays know all of it. */
  readonly shares?: readonly Share[];
}

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

/** Raw and baked touch where both were read; what was read alone stands alone. */
function RawAndBaked({ tile: { title, raw, baked } }: { tile: TileInSight }) {
  return (
    <div className={raw === undefined || baked === undefined ? 'recipe-one' : 'recipe-pair'}>
      {raw === undefined ? null : <Tile lab={labOfReading(raw.body)} name={`${title}, raw`} />}
      {baked === undefined ? null : (
        <Tile lab={labOfReading(baked.body)} name={`${title}, baked`} />
      )}
    </div>
  );
}

function whatIsSaid(tile: TileInSight, foretold: Lab | undefined): string {
  const baked = tile.baked === undefined ? undefined : labOfReading(tile.baked.body);
  const raw = tile.raw === undefined ? undefined : labOfReading(tile.raw.body);
  const said: string[] = [];
  if (tile.baked?.body.overruled !== undefined) said.push('Your eye counts.');
  if (raw !== undefined && baked !== undefined) {
    const [first] = sidesOf(raw, baked);
    said.push(first.size < 0.8 ? 'Baking hardly moved it.' : `Baked it is ${sideInWords(first)}.`);
  }
  if (foretold !== undefined && baked !== undefined) {
    const { word, sentence } = verdict(foretold, baked);
    said.push(
      word === 'same' || word === 'match'
        ? 'As the others would have it.'
        : `The others would have it otherwise: ${sentence}.`,
    );
  }
  return said.join(' ') || (baked === undefined ? 'Not baked yet.' : 'Read.');
}

interface SightAsk {
  readonly tiles: readonly RecordOf<'tile'>[];
  readonly mixes: ReadonlyMap<string, RecordOf<'mix'>>;
  readonly blocks: readonly RecordOf<'block'>[];
  readonly colours: ColoursOfBook;
  readonly nameOf: (id: string) => string;
  readonly open: OpenClays | undefined;
}

function tilesInSight({ tiles, mixes, blocks, colours, nameOf, open }: SightAsk): TileInSight[] {
  const parentsOf = (of: RecordOf<'tile'>['body']['of']): readonly Share[] | undefined => {
    if ('id' in of && of.kind === 'block') {
      const block = open?.byBlock.get(of.id);
      return block === undefined ? undefined : [{ parent: block.parent, parts: 1 }];
    }
    const parts = 'parts' in of ? of.parts : mixes.get(of.id)?.body.parts;
    const shares = parts?.flatMap((part) => {
      const block = part.of.kind === 'block' ? open?.byBlock.get(part.of.id) : undefined;
      return block === undefined ? [] : [{ parent: block.parent, parts: part.parts }];
    });
    return shares !== undefined && shares.length === parts?.length ? shares : undefined;
  };
  const titleOf = ({ id, body }: RecordOf<'tile'>) => {
    if (body.name !== undefined || body.code !== undefined) {
      return [body.code, body.name].filter(Boolean).join(' ');
    }
    if ('id' in body.of) {
      const mix = mixes.get(body.of.id);
      return mix === undefined ? nameOf(body.of.id) : titleOfMix(mix);
    }
    return id;
  };
  const states = (id: string) => {
    const of = colours.readingsOf(id).filter(({ body }) => body.of.id === id);
    const raw = of.find(({ body }) => body.state === 'raw');
    const baked = of.find(({ body }) => body.state === 'baked');
    return { ...(raw === undefined ? {} : { raw }), ...(baked === undefined ? {} : { baked }) };
  };
  const own = [...tiles]
    .sort((one, other) => (one.createdAt < other.createdAt ? 1 : -1))
    .map((tile) => {
      const shares = parentsOf(tile.body.of);
      return {
        key: tile.id,
        title: titleOf(tile),
        ...states(tile.id),
        ...(shares === undefined ? {} : { shares }),
      };
    });
  const direct = blocks.flatMap(({ id }) => {
    const read = states(id);
    return read.raw === undefined && read.baked === undefined
      ? []
      : [{ key: id, title: nameOf(id), ...read }];
  });
  return [...own, ...direct].filter(({ raw, baked }) => raw !== undefined || baked !== undefined);
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

interface ToldTile {
  readonly parts: readonly { readonly parent: string; readonly parts: number }[];
  readonly sentence: string;
}

function NextTiles({
  clays,
  names,
}: {
  clays: OpenClays | undefined;
  names: (id: string) => string;
}) {
  const job = useJob();
  if (clays === undefined) return null;
  if (clays.modelId === undefined) {
    return (
      <Part title="Which tile next">
        <p>
          First a plain baked tile of each block, then one of each with much white: 1 part to 9.
          Those two teach most. Then press Learn, and it can say which tile tells most after that.
        </p>
      </Part>
    );
  }
  const tiles = (job.job?.state === 'done' ? job.job.result?.tiles : undefined) as
    | readonly ToldTile[]
    | undefined;
  return (
    <Part title="Which tile next">
      <div className="doings">
        <Button
          kind={tiles === undefined ? 'main' : 'plain'}
          isDisabled={job.running}
          onPress={() =>
            job.start({
              do: 'next-tile',
              clayModelId: clays.modelId!,
              tiles: 3,
              parts: 16,
              wanted: [],
              aims: [],
            })
          }
        >
          Ask which tile tells most
        </Button>
      </div>
      <JobLine here={job} what="Weighing which tile tells most" />
      {tiles === undefined ? null : tiles.length === 0 ? (
        <p>No single tile would tell much more: what is known is known well.</p>
      ) : (
        <ol className="history">
          {tiles.map((tile) => (
            <li key={JSON.stringify(tile.parts)}>
              <PieceRow
                size="small"
                groups={tile.parts.map(({ parent, parts }) => {
                  const block = clays.blocks.find(({ blockId }) => names(blockId) === parent);
                  return { id: parent, name: parent, lab: block?.lab, parts };
                })}
              />
              <p>{tile.sentence}</p>
            </li>
          ))}
        </ol>
      )}
    </Part>
  );
}

function Overrule({ reading, onClose }: { reading: RecordOf<'reading'>; onClose: () => void }) {
  const [lab, setLab] = useState<Lab>(labOfReading(reading.body) ?? [50, 0, 0]);
  const [note, setNote] = useState(reading.body.overruled?.note ?? '');
  const [no, setNo] = useState<string | undefined>();
  const keep = async (overrule: boolean) => {
    const { overruled: _, ...body } = reading.body;
    try {
      await changeBook(overrule ? 'Overruled a reading by eye' : 'Let the reading count again', [
        change(
          reading,
          overrule
            ? {
                ...body,
                overruled: {
                  lab: [...lab] as [number, number, number],
                  note: note.trim() === '' ? 'By eye, beside the tile.' : note.trim(),
                  at: new Date().toISOString(),
                },
              }
            : body,
        ),
      ]);
      onClose();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Sheet title="What does your eye say?" isOpen onClose={onClose}>
      <p>The reading stays; from now on your eye counts.</p>
      <EyePicker lab={lab} onChange={setLab} name="As your eye has it" />
      <Field label="Why" value={note} onChange={setNote} rows={2} />
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="doings">
        <Button kind="main" onPress={() => void keep(true)}>
          My eye counts
        </Button>
        {reading.body.overruled === undefined ? null : (
          <Button onPress={() => void keep(false)}>Let the reading count</Button>
        )}
        <Button kind="quiet" onPress={onClose}>
          Leave it
        </Button>
      </div>
    </Sheet>
  );
}
