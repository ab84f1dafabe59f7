import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { useEffect, useMemo } from 'react';
import type { TileReading } from '../../core/clay/tile-reading.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { isOwned } from '../../domain/clay-of-block.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { type ColouredBlock, FEWEST_COLOURED, roughReadings } from '../../domain/rough-readings.ts';
import {
  type ClayWorkerClient,
  openClayWorker,
  startWorkers,
} from '../workers/clay-worker-client.ts';
import type { NamedBlock } from '../workers/messages.ts';
import { clayFileQuery, newestOf } from './clay-file.ts';
import { type KnownColours, useColours } from './colours.ts';
import { queries, useAll } from './queries.ts';

/** A block the user can mix with, and its index among the open clays. */
export interface MixableBlock {
  readonly blockId: string;
  readonly clay: number;
  readonly lab: Lab;
  readonly plusMinus: number;
}

export interface OpenClays {
  readonly worker: ClayWorkerClient;
  readonly blocks: readonly MixableBlock[];
  readonly byBlock: ReadonlyMap<string, MixableBlock>;
  /** Known from the colours of the blocks alone: no mix of them was ever measured. */
  readonly rough: boolean;
  readonly modelId?: string;
}

export type ClaysState =
  | { readonly state: 'opening' }
  /** Fewer than two blocks have a colour. */
  | { readonly state: 'too-few'; readonly coloured: number }
  | { readonly state: 'refused'; readonly fault: unknown }
  | { readonly state: 'open'; readonly clays: OpenClays };

/**
 * The clays of the book, opened once for all screens: the newest clay model, or where nothing was
 * learned yet the blocks' own colours, from which rough recipes come.
 */
export function useClays(): ClaysState {
  useEffect(startWorkers, []);
  const models = useAll('clay-model');
  const all = useAll('block');
  const blocks = useMemo(
    () => ({ records: all.records.filter(isOwned), isPending: all.isPending }),
    [all.records, all.isPending],
  );
  const colours = useColours();
  const newest = useMemo(() => newestOf(models.records), [models.records]);
  const coloured = useMemo(
    () => colouredBlocks(blocks.records, colours),
    [blocks.records, colours],
  );
  const rough = useMemo(() => roughReadings(coloured), [coloured]);
  const named = useMemo(() => colourlessBlocks(blocks.records, colours), [blocks.records, colours]);
  // Blocks that the model does not hold are made of their colours.
  const waiting = models.isPending || blocks.isPending || colours.isPending;
  const enough = newest !== undefined || coloured.length >= FEWEST_COLOURED;
  const held = new Set(newest?.body.clays.map(({ blockId }) => blockId));
  const left = {
    rough: rough.filter(({ tile }) => !held.has(tile)),
    named: named.filter(({ id }) => !held.has(id)),
  };
  const key = [newest === undefined ? '' : `${newest.id} ${newest.version}`, left];
  const { data, error } = useQuery({
    queryKey: ['clays', 'open', key],
    queryFn: () => openClays(newest, left),
    enabled: !waiting && enough,
    // A screen that closes while other clays open would lose what was typed there.
    placeholderData: keepPreviousData,
    gcTime: 60_000,
    retry: false,
  });
  if (error !== null) return { state: 'refused', fault: error };
  if (!waiting && !enough) return { state: 'too-few', coloured: coloured.length };
  return data === undefined ? { state: 'opening' } : { state: 'open', clays: data };
}

/** Clays that no screen uses any more close their workers. */
queries.getQueryCache().subscribe(({ type, query }) => {
  const [first, second] = query.queryKey;
  if (type !== 'removed' || first !== 'clays' || second !== 'open') return;
  (query.state.data as OpenClays | undefined)?.worker.close();
});

async function openClays(
  model: RecordOf<'clay-model'> | undefined,
  left: { readonly rough: readonly TileReading[]; readonly named: readonly NamedBlock[] },
): Promise<OpenClays> {
  const worker = await openClayWorker(
    model === undefined
      ? Promise.resolve({ kind: 'rough', ...left })
      : queries
          .fetchQuery(clayFileQuery(model))
          .then((file) => ({ kind: 'learned', file, ...left })),
  );
  const blockOf = new Map(model?.body.clays.map(({ name, blockId }) => [name, blockId]));
  const leftIds = new Set([
    ...left.rough.map(({ tile }) => tile),
    ...left.named.map(({ id }) => id),
  ]);
  const blocks = worker.clays.flatMap(({ name, lab, plusMinus }, clay) => {
    // Rough clays are named by the ids of their blocks.
    const blockId = blockOf.get(name) ?? (leftIds.has(name) ? name : undefined);
    return blockId === undefined ? [] : [{ blockId, clay, lab, plusMinus }];
  });
  return {
    worker,
    blocks,
    byBlock: new Map(blocks.map((block) => [block.blockId, block])),
    rough: model === undefined,
    ...(model === undefined ? {} : { modelId: model.id }),
  };
}

function colouredBlocks(
  blocks: readonly RecordOf<'block'>[],
  colours: KnownColours,
): readonly ColouredBlock[] {
  return blocks.flatMap(({ id, body }) => {
    const colour = colours.of(id);
    return colour === undefined ? [] : [{ id, clayType: body.clayType, colour }];
  });
}

/** Blocks without a reading: their names may say a colour. */
function colourlessBlocks(
  blocks: readonly RecordOf<'block'>[],
  colours: KnownColours,
): readonly NamedBlock[] {
  return blocks.flatMap(({ id, body: { name, clayType } }) =>
    colours.of(id) === undefined ? [{ id, name, clayType }] : [],
  );
}
