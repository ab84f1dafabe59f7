import { useQuery } from '@tanstack/react-query';
import type { RecordOf } from '../../contract/book/record.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { useClays } from './clays.ts';
import { useColours } from './colours.ts';

export interface MixColour {
  readonly lab: Lab | undefined;
  readonly from: 'tile' | 'kept' | 'now' | 'nowhere';
}

/**
 * The colour of a mix: of its tile, else as it was foretold when it was kept, else as the open clays
 * foretell it now, where it is made of blocks they know.
 */
export function useMixColour(mix: RecordOf<'mix'>): MixColour {
  const read = useColours().of(mix.id)?.lab;
  const kept = mix.body.foretold?.lab;
  const clays = useClays();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const shares = mix.body.parts.flatMap(({ of, parts }) => {
    const block = of.kind === 'block' ? open?.byBlock.get(of.id) : undefined;
    return block === undefined ? [] : [{ parent: block.parent, parts }];
  });
  const known = open !== undefined && shares.length === mix.body.parts.length;
  const { data } = useQuery({
    queryKey: ['clays', 'mix', open?.modelId ?? 'rough', mix.id, mix.version],
    queryFn: async () => (await open!.desk.foretell(shares)).lab,
    enabled: read === undefined && kept === undefined && known,
  });
  if (read !== undefined) return { lab: read, from: 'tile' };
  if (kept !== undefined) return { lab: kept, from: 'kept' };
  return data === undefined ? { lab: undefined, from: 'nowhere' } : { lab: data, from: 'now' };
}
