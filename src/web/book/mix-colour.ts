import { useQuery } from '@tanstack/react-query';
import type { Lab } from '../../core/colour/triples.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { Resolution } from '../../core/mixes/resolve-mix.ts';
import { type MixParts, mixNode, resolverFor } from '../../domain/mix-graph-of-book.ts';
import { type ShownColour, useColoursOf } from './colours.ts';
import { getMany } from './queries.ts';

export interface MixColour {
  readonly lab: Lab | undefined;
  /** `coming`: not known yet whether it has one. */
  readonly from: ShownColour['from'] | 'coming' | 'nowhere';
}

/** The colour shown of a mix, as the lists of the book show it. */
export function useMixColour(id: string): MixColour {
  const colours = useColoursOf([id]);
  const shown = colours.shown(id);
  return shown ?? { lab: undefined, from: colours.isPending ? 'coming' : 'nowhere' };
}

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
