import { useQuery } from '@tanstack/react-query';
import type { ApiAnswer } from '../../api/routes.ts';
import { client } from './client.ts';

export type TileInList = ApiAnswer<'tileList'>['rows'][number];

const PAGE = 400;
/** The newest tiles only: years ago it was another oven or another lot. */
const MOST_TILES = 2000;

/** The newest tiles of the book in one list, for what looks at all of them at once. */
export function useAllTiles(enabled = true): readonly TileInList[] | undefined {
  return useQuery({ queryKey: ['tiles', 'all'], queryFn: allTiles, enabled }).data;
}

async function allTiles(): Promise<readonly TileInList[]> {
  const rows: TileInList[] = [];
  let sheet: string | undefined;
  for (let from = 0; from < MOST_TILES; from += PAGE) {
    const { body } = await client.call('tileList', {
      query: { from, limit: PAGE, ...(sheet === undefined ? {} : { sheet }) },
    });
    sheet = body.sheet;
    rows.push(...body.rows.filter(({ gone }) => gone !== true));
    if (from + PAGE >= body.total) break;
  }
  return rows;
}
