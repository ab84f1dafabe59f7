import { useQuery } from '@tanstack/react-query';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { Resolution } from '../../core/mixes/resolve-mix.ts';
import { type MixParts, mixNode, resolverFor } from '../../domain/mix-graph-of-book.ts';
import { getMany } from './queries.ts';

/** What a mix is made of in the end: blocks and powders, through the mixes in it. */
export function useResolvedMix(
  mix: MixParts | undefined,
  basis?: Basis,
): { readonly found: Resolution | undefined; readonly isPending: boolean } {
  const { data, isPending } = useQuery({
    queryKey: ['mixes', 'resolved', mix?.basis, mix?.parts, mix?.powders, basis],
    queryFn: async () => {
      const { resolver } = await resolverFor(
        getMany,
        mix!.parts.map(({ of }) => of.id),
      );
      return resolver.resolve(mixNode(mix!), basis);
    },
    enabled: mix !== undefined,
  });
  return { found: data, isPending };
}
