import { useQuery } from '@tanstack/react-query';
import type { RecordOf } from '../../contract/book/record.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { type OpenClays, useClays } from './clays.ts';
import { useColoursOf } from './colours.ts';

export interface MixColour {
  readonly lab: Lab | undefined;
  readonly from: 'tile' | 'kept' | 'now' | 'nowhere';
}

type Parts = readonly {
  readonly of: { readonly kind: 'block' | 'mix'; readonly id: string };
  readonly parts: number;
}[];

/**
 * The colour of a mix: of its tile, else as it was foretold when it was kept, else as the open clays
 * foretell it now, where it is made of blocks they know.
 */
export function useMixColour(mix: RecordOf<'mix'>): MixColour {
  const read = useColoursOf([mix.id]).of(mix.id)?.lab;
  const kept = mix.body.foretold?.lab;
  const clays = useClays();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const wanted = read === undefined && kept === undefined;
  const now = useForetoldNow(wanted ? mix.body.parts : undefined, open);
  if (read !== undefined) return { lab: read, from: 'tile' };
  if (kept !== undefined) return { lab: kept, from: 'kept' };
  return now === undefined ? { lab: undefined, from: 'nowhere' } : { lab: now, from: 'now' };
}

/** What the open clays make of these parts, where they know all of them. */
export function useForetoldNow(
  parts: Parts | undefined,
  open: OpenClays | undefined,
): Lab | undefined {
  const shares = (parts ?? []).flatMap(({ of, parts: count }) => {
    const block = of.kind === 'block' ? open?.byBlock.get(of.id) : undefined;
    return block === undefined ? [] : [{ parent: block.parent, parts: count }];
  });
  const known = open !== undefined && parts !== undefined && shares.length === parts.length;
  const { data } = useQuery({
    queryKey: ['clays', 'foretold', open?.modelId ?? 'rough', shares],
    queryFn: async () => (await open!.desk.foretell(shares)).lab,
    enabled: known && shares.length > 0,
  });
  return known ? data : undefined;
}
