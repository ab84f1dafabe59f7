import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import type { TileInList } from '../../book/all-tiles.ts';
import type { OpenClays } from '../../book/clays.ts';
import { client } from '../../book/client.ts';
import { type ListHere, useList } from '../../book/list.ts';
import { useBlockNames } from '../../book/names.ts';
import type { Share } from '../../workers/messages.ts';

export interface TileInSight {
  readonly key: string;
  readonly title: string;
  /** A tile of its own, and no reading of a block alone. */
  readonly isTile: boolean;
  readonly raw?: NonNullable<TileInList['raw']>;
  readonly baked?: NonNullable<TileInList['baked']>;
  /** The recipe of the tile, where the open clays know all of it. */
  readonly shares?: readonly Share[];
}

const KEY = ['tiles', 'sheet'];

/** Every tile, the newest first, then readings of blocks of which no tile was made. */
export function useTileRecords(): ListHere<TileInList> {
  return useList<TileInList>({
    key: KEY,
    ask: async (query) => (await client.call('tileList', { query })).body,
  });
}

/** Tiles of some places of the sheet, as far as they have come, and what the other tiles predict of them. */
export function useTilesInSight(
  rows: readonly TileInList[],
  open: OpenClays | undefined,
): { readonly tiles: readonly TileInSight[]; readonly predicted: ReadonlyMap<string, Lab> } {
  const { nameOf } = useBlockNames();
  const tiles = useMemo(
    () => rows.filter(({ gone }) => gone !== true).map((row) => inSight(row, nameOf, open)),
    [rows, nameOf, open],
  );
  const { data } = useQuery({
    queryKey: ['clays', 'tiles', open?.modelId, tiles.map(({ key, shares }) => [key, shares])],
    enabled: open !== undefined && !open.rough,
    queryFn: () => predictionOf(open!, tiles),
  });
  return { tiles, predicted: data ?? NONE };
}

const NONE: ReadonlyMap<string, Lab> = new Map();

function inSight(
  { id, kind, code, name, of, raw, baked, parts }: TileInList,
  nameOf: (id: string) => string,
  open: OpenClays | undefined,
): TileInSight {
  const own = [code, name].filter(Boolean).join(' ');
  const ofWords = of === undefined ? id : (of.name ?? nameOf(of.id));
  const made =
    of?.kind === 'block' ? [{ of: { kind: 'block' as const, id: of.id }, parts: 1 }] : parts;
  const shares = made?.flatMap((part) => {
    const block = part.of.kind === 'block' ? open?.byBlock.get(part.of.id) : undefined;
    return block === undefined ? [] : [{ clay: block.clay, parts: part.parts }];
  });
  const known = shares !== undefined && shares.length > 0 && shares.length === made?.length;
  return {
    key: id,
    title: kind === 'block' ? nameOf(id) : own || ofWords,
    isTile: kind === 'tile',
    ...(raw === undefined ? {} : { raw }),
    ...(baked === undefined ? {} : { baked }),
    ...(known ? { shares } : {}),
  };
}

async function predictionOf(
  { worker }: OpenClays,
  tiles: readonly TileInSight[],
): Promise<ReadonlyMap<string, Lab>> {
  const found = new Map<string, Lab>();
  for (const { key, shares } of tiles) {
    if (shares !== undefined) found.set(key, (await worker.predict(shares)).lab);
  }
  return found;
}
