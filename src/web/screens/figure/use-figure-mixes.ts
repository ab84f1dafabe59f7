import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { StockRow } from '../../../core/find/known-clays.ts';
import {
  type ColoursOfFigure,
  coloursOfFigure,
  idsOfFigure,
  stockOfFigure,
} from '../../../domain/figure-question.ts';
import { resolverFor } from '../../../domain/mix-graph-of-book.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useBlockNames } from '../../book/names.ts';
import { getMany, useAll } from '../../book/queries.ts';
import type { Studio } from '../../find/studio.ts';

/** The mixes of a figure under the names that its plan is asked with. */
export interface FigureMixes extends ColoursOfFigure {
  /** The mix or block of a name. */
  readonly idOf: ReadonlyMap<string, { readonly kind: 'mix' | 'block'; readonly id: string }>;
  readonly mixById: ReadonlyMap<string, RecordOf<'mix'>>;
  /** Of every block that is in them. */
  readonly stock: readonly StockRow[];
}

/** Fetches the mixes that the shapes of a plan and the mixed batches are made of, and the mixes in these. */
export function useFigureMixes(
  { body }: { readonly body: Parameters<typeof idsOfFigure>[0] },
  studio: Studio,
): FigureMixes | undefined {
  const { nameOf: blockName } = useBlockNames();
  const lines = useAll('line');
  const ids = useMemo(() => idsOfFigure(body), [body]);
  const { data } = useQuery({
    queryKey: ['mixes', 'of figure', ids],
    queryFn: async () => (await resolverFor(getMany, ids)).records,
  });
  return useMemo(() => {
    if (data === undefined) return undefined;
    const named = (id: string) => studio.byBlock.get(id)?.name ?? blockName(id);
    const found = coloursOfFigure(ids, data, named);
    const { nameOf } = found;
    const mixes = ofKind(data.values(), 'mix');
    const blocks = ofKind(data.values(), 'block');
    return {
      ...found,
      idOf: new Map([...blocks, ...mixes].map(({ kind, id }) => [nameOf(id), { kind, id }])),
      mixById: new Map(mixes.map((mix) => [mix.id, mix])),
      stock: stockOfFigure(studio.stock, blocks, lines.byId, nameOf),
    };
  }, [data, ids, studio, blockName, lines.byId]);
}
