import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { TileRead } from '../../../verbs/question-parts.ts';
import { type TileInList, useAllTiles } from '../../book/all-tiles.ts';
import type { OpenClays } from '../../book/clays.ts';
import { client } from '../../book/client.ts';
import type { Studio } from '../../find/studio.ts';

type ChartTiles = readonly TileRead[];
type Parts = NonNullable<TileInList['parts']>;

const PAGE = 400;
/** The newest mixes only, as of tiles. */
const MOST_MIXES = 2000;

/** Baked tiles of blocks and of mixes of blocks, as a chart takes them; undefined until they are loaded. */
export function useTilesForChart(
  { worker: { basis } }: OpenClays,
  { byBlock }: Studio,
): ChartTiles | undefined {
  const rows = useAllTiles();
  const { data: ofMix } = useQuery({
    queryKey: ['mixes', 'for charts', basis],
    queryFn: () => partsOfMixes(basis),
  });
  return useMemo(() => {
    if (rows === undefined || ofMix === undefined) return undefined;
    return rows.flatMap((row): TileRead[] => {
      const parts = partsOfTile(row, ofMix);
      const recipe = parts.flatMap(({ of, parts: count }) => {
        const clay = of.kind === 'block' ? byBlock.get(of.id)?.name : undefined;
        return clay === undefined ? [] : [{ clay, parts: count }];
      });
      const known = recipe.length > 0 && recipe.length === parts.length;
      return known && row.baked !== undefined ? [{ recipe, lab: row.baked.lab }] : [];
    });
  }, [rows, ofMix, byBlock]);
}

/** What a tile is made of; nothing where that is not known. */
function partsOfTile(
  { id, kind, of, parts }: TileInList,
  ofMix: ReadonlyMap<string, Parts>,
): Readonly<Parts> {
  if (kind === 'block') return [{ of: { kind, id }, parts: 1 }];
  if (of?.kind === 'mix') return ofMix.get(of.id) ?? [];
  return of === undefined ? (parts ?? []) : [{ of: { kind: 'block', id: of.id }, parts: 1 }];
}

/** Parts of the mixes that have a tile, by their ids. */
async function partsOfMixes(
  basis: OpenClays['worker']['basis'],
): Promise<ReadonlyMap<string, Parts>> {
  const known = new Map<string, Parts>();
  let sheet: string | undefined;
  for (let from = 0; from < MOST_MIXES; from += PAGE) {
    const { body } = await client.call('mixList', {
      query: {
        ...{ from, limit: PAGE, parts: 'true', tile: 'with' },
        ...(sheet === undefined ? {} : { sheet }),
      },
    });
    sheet = body.sheet;
    for (const row of body.rows) {
      if (row.basis === basis && row.parts !== undefined) known.set(row.id, row.parts);
    }
    if (from + PAGE >= body.total) break;
  }
  return known;
}
