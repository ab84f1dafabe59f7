import { useQuery } from '@tanstack/react-query';
import type { Lab } from '../../core/colour/triples.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { useClays } from './clays.ts';
import { useColoursOf } from './colours.ts';

export interface MixColour {
  readonly lab: Lab | undefined;
  /** `saved`: as predicted when the mix was saved; `coming`: not known yet whether it has one. */
  readonly from: 'tile' | 'saved' | 'now' | 'coming' | 'nowhere';
}

type Parts = readonly {
  readonly of: { readonly kind: 'block' | 'mix'; readonly id: string };
  readonly parts: number;
}[];

/**
 * The colour of a mix: of its tile, else as predicted when the mix was saved, else as the open clays
 * predict it now, where they know all its blocks.
 */
export function useMixColour(mix: RecordOf<'mix'>): MixColour {
  const colours = useColoursOf([mix.id]);
  const read = colours.of(mix.id)?.lab;
  const saved = mix.body.predicted?.lab;
  const needed = read === undefined && saved === undefined && !colours.isPending;
  const now = usePredictionNow(needed ? mix.body.parts : undefined);
  if (read !== undefined) return { lab: read, from: 'tile' };
  if (saved !== undefined) return { lab: saved, from: 'saved' };
  if (now.lab !== undefined) return { lab: now.lab, from: 'now' };
  return { lab: undefined, from: now.coming || colours.isPending ? 'coming' : 'nowhere' };
}

/** The colour of these parts as the open clays predict it, where they know all of them. */
export function usePredictionNow(parts: Parts | undefined): {
  readonly lab: Lab | undefined;
  /** The clays are being opened, or the prediction is running. */
  readonly coming: boolean;
} {
  const clays = useClays();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const shares = (parts ?? []).flatMap(({ of, parts: count }) => {
    const block = of.kind === 'block' ? open?.byBlock.get(of.id) : undefined;
    return block === undefined ? [] : [{ clay: block.clay, parts: count }];
  });
  const known = open !== undefined && parts !== undefined && shares.length === parts.length;
  const asked = known && shares.length > 0;
  const { data, isPending } = useQuery({
    queryKey: ['clays', 'predicted', open?.modelId ?? 'rough', shares],
    queryFn: async () => (await open!.worker.predict(shares)).lab,
    enabled: asked,
  });
  return {
    lab: known ? data : undefined,
    coming: parts !== undefined && (clays.state === 'opening' || (asked && isPending)),
  };
}
