import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { StockRow } from '../../../core/find/known-clays.ts';
import { clayOfBlock } from '../../../domain/clay-of-block.ts';
import {
  type ColoursOfFigure,
  coloursOfFigure,
  idsOfFigure,
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
    const { colours, nameOf } = coloursOfFigure(ids, data, named);
    const mixes = ofKind(data.values(), 'mix');
    const blocks = ofKind(data.values(), 'block');
    const extra = blocks.flatMap((block): StockRow[] => {
      if (studio.byBlock.has(block.id)) return [];
      const { density, packageG } = clayOfBlock(block, lines.byId.get(block.body.lineId));
      return [
        {
          name: named(block.id),
          ...(density === undefined ? {} : { density: density.value }),
          ...(packageG === undefined ? {} : { packageG }),
        },
      ];
    });
    return {
      colours,
      nameOf,
      idOf: new Map([...blocks, ...mixes].map(({ kind, id }) => [nameOf(id), { kind, id }])),
      mixById: new Map(mixes.map((mix) => [mix.id, mix])),
      stock: [...studio.stock, ...extra],
    };
  }, [data, ids, studio, blockName, lines.byId]);
}
