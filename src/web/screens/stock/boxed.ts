import { useQueries, useQuery } from '@tanstack/react-query';
import type { RecordOf } from '../../../domain/records/record.ts';
import { client } from '../../book/client.ts';
import { useBlockNames } from '../../book/names.ts';
import { recordQuery } from '../../book/queries.ts';

export type Box = RecordOf<'box'>;
export type Boxed = Box['body']['holds'][number];

/** Names of what is in the boxes. Blocks are loaded already; the rest is fetched one by one. */
export function useNamesIn(boxes: readonly Box[]): (of: Boxed['of']) => string {
  const { nameOf } = useBlockNames();
  const others = [
    ...new Set(
      boxes.flatMap(({ body }) =>
        body.holds.flatMap(({ of }) => (of.kind === 'block' ? [] : [of.id])),
      ),
    ),
  ];
  const found = useQueries({ queries: others.map((id) => recordQuery(id)) });
  const byId = new Map(found.flatMap(({ data }) => (data === undefined ? [] : [[data.id, data]])));
  return ({ kind, id }) => {
    if (kind === 'block') return nameOf(id);
    const body = byId.get(id)?.body;
    const name = body !== undefined && 'name' in body ? body.name : undefined;
    const code = body !== undefined && 'code' in body ? body.code : undefined;
    return name ?? code ?? `a ${kind}`;
  };
}

/** Tiles and purchases stored in a box: how many, and the first of them. */
export function useOwnOf(
  box: Box,
  kind: 'tile' | 'purchase',
): { readonly total: number; readonly names: readonly string[] } {
  const { data } = useQuery({
    queryKey: ['tiles', 'in box', box.id, kind],
    queryFn: async () => {
      const query = { kind, uses: box.id, sort: 'code', limit: 40 } as const;
      const { records, total } = (await client.call('listRecords', { query })).body;
      return {
        total,
        names: records.map(({ id, body }) => {
          const { code, name } = body as { code?: string; name?: string };
          return code ?? name ?? id;
        }),
      };
    },
  });
  return data ?? { total: 0, names: [] };
}
