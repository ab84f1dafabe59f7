import { useQuery } from '@tanstack/react-query';
import type { Lab } from '../../core/colour/triples.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { Resolution } from '../../core/mixes/resolve-mix.ts';
import {
  type MixParts,
  mixNode,
  partsOfBlocks,
  resolverFor,
} from '../../domain/mix-graph-of-book.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useClays } from './clays.ts';
import { useColoursOf } from './colours.ts';
import { getMany } from './queries.ts';

export interface MixColour {
  readonly lab: Lab | undefined;
  /** `coming`: not known yet whether it has one. */
  readonly from: 'tile' | 'saved' | 'now' | 'coming' | 'nowhere';
}

/**
 * The colour of a mix: of its tile, else as it was predicted when it was saved, else as the open clays
 * predict it now, down through the mixes in it.
 */
export function useMixColour(mix: RecordOf<'mix'>): MixColour {
  const colours = useColoursOf([mix.id]);
  const read = colours.of(mix.id)?.lab;
  const saved = mix.body.predicted?.lab;
  const isWanted = read === undefined && saved === undefined && !colours.isPending;
  const now = usePredictionNow(isWanted ? mix.body : undefined);
  if (read !== undefined) return { lab: read, from: 'tile' };
  if (saved !== undefined) return { lab: saved, from: 'saved' };
  if (now.lab !== undefined) return { lab: now.lab, from: 'now' };
  return { lab: undefined, from: now.coming || colours.isPending ? 'coming' : 'nowhere' };
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

/** What the open clays make of a mix, where they know every block in it; powders are left out. */
export function usePredictionNow(mix: MixParts | undefined): {
  readonly lab: Lab | undefined;
  /** The clays are being opened, or are asked just now. */
  readonly coming: boolean;
} {
  const clays = useClays();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const { found, isPending } = useResolvedMix(
    open === undefined ? undefined : mix,
    open?.worker.basis,
  );
  const blocks = found?.status === 'resolved' ? partsOfBlocks(found) : [];
  const shares = blocks.flatMap(({ blockId, parts }) => {
    const block = open?.byBlock.get(blockId);
    return block === undefined ? [] : [{ clay: block.clay, parts }];
  });
  const isKnown = shares.length > 0 && shares.length === blocks.length;
  const prediction = useQuery({
    queryKey: ['clays', 'predicted', open?.modelId ?? 'rough', shares],
    queryFn: async () => (await open!.worker.predict(shares)).lab,
    enabled: isKnown,
  });
  const waits =
    clays.state === 'opening' ||
    (open !== undefined && isPending) ||
    (isKnown && prediction.isPending);
  return {
    lab: isKnown ? prediction.data : undefined,
    coming: mix !== undefined && waits,
  };
}
