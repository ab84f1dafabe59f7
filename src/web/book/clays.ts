import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { TileReading } from '../../core/clay/tile-reading.ts';
import type { WordedColour } from '../../core/colour/colour-of-name.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { ClayFile } from '../../domain/clay-file.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { type ColouredBlock, FEWEST_COLOURED, roughReadings } from '../../domain/rough-readings.ts';
import { type ClayWorkerClient, openClayWorker } from '../workers/clay-worker-client.ts';
import { client } from './client.ts';
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
  const models = useAll('clay-model');
  const blocks = useAll('block');
  const colours = useColours();
  const newest = useMemo(() => newestOf(models.records), [models.records]);
  const coloured = useMemo(
    () => colouredBlocks(blocks.records, colours),
    [blocks.records, colours],
  );
  const worded = blocks.records.some(({ id }) => colours.of(id) === undefined);
  const words = useQuery({ ...COLOUR_WORDS, enabled: worded && !colours.isPending });
  const rough = useMemo(
    () => roughReadings([...coloured, ...wordedBlocks(blocks.records, colours, words.data)]),
    [blocks.records, colours, coloured, words.data],
  );
  // Blocks that the model does not hold are made of their colours.
  const waiting =
    models.isPending || blocks.isPending || colours.isPending || (worded && words.isPending);
  const enough = newest !== undefined || coloured.length >= FEWEST_COLOURED;
  const held = new Set(newest?.body.clays.map(({ blockId }) => blockId));
  const left = rough.filter(({ tile }) => !held.has(tile));
  const key = newest === undefined ? rough : [`${newest.id} ${newest.version}`, left];
  const { data, error } = useQuery({
    queryKey: ['clays', 'open', key],
    queryFn: () => openClays(newest, left),
    enabled: !waiting && enough,
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
  rough: readonly TileReading[],
): Promise<OpenClays> {
  const worker = await openClayWorker(
    model === undefined
      ? Promise.resolve({ kind: 'rough', readings: rough })
      : clayFile(model.id).then((file) => ({ kind: 'learned', file, rough })),
  );
  const blockOf = new Map(model?.body.clays.map(({ name, blockId }) => [name, blockId]));
  const roughIds = new Set(rough.map(({ tile }) => tile));
  const blocks = worker.clays.flatMap(({ name, lab, plusMinus }, clay) => {
    // Rough clays are named by the ids of their blocks.
    const blockId = blockOf.get(name) ?? (roughIds.has(name) ? name : undefined);
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

async function clayFile(id: string): Promise<ClayFile> {
  // Its script comes while the file does, and no screen waits for it.
  const [{ body }, { upgradeClayFile }] = await Promise.all([
    client.call('clayBytes', { params: { id } }),
    import('../../domain/upgrade-clay-file.ts'),
  ]);
  // The book checked the file and its seal when it was saved; older versions named some of it otherwise.
  const parsed: unknown =
    body instanceof Uint8Array ? JSON.parse(new TextDecoder().decode(body)) : body;
  return upgradeClayFile(parsed) as ClayFile;
}

export function newestOf(
  models: readonly RecordOf<'clay-model'>[],
): RecordOf<'clay-model'> | undefined {
  return models.reduce<RecordOf<'clay-model'> | undefined>(
    (best, one) => (best === undefined || one.createdAt > best.createdAt ? one : best),
    undefined,
  );
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

/** The words of colours with their tables, for books with a block that has no reading. */
const COLOUR_WORDS = {
  queryKey: ['clays', 'words'],
  queryFn: async () => (await import('../../core/colour/colour-of-name.ts')).colourOfName,
  staleTime: Number.POSITIVE_INFINITY,
};

/** Blocks without a reading whose name says a colour. */
function wordedBlocks(
  blocks: readonly RecordOf<'block'>[],
  colours: KnownColours,
  colourOfName: (name: string) => WordedColour | undefined = () => undefined,
): readonly ColouredBlock[] {
  return blocks.flatMap(({ id, body }) => {
    const word = colours.of(id) === undefined ? colourOfName(body.name) : undefined;
    if (word === undefined) return [];
    const colour = { ...word, readingKind: 'rough', state: 'baked' } as const;
    return [{ id, clayType: body.clayType, colour }];
  });
}
