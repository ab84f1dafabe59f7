import type { RecordOf } from '../../../contract/book/record.ts';
import { titleOfMix, useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';

export type Box = RecordOf<'container'>;
type Boxed = Box['body']['holds'][number]['of'];

/** What lies in boxes, as it is spoken of. */
export function useNamesIn(): (of: Boxed) => string {
  const { nameOf } = useBlockNames();
  const mixes = useAll('mix').byId;
  const powders = useAll('powder').byId;
  const figures = useAll('figure').byId;
  const tiles = useAll('tile').byId;
  return ({ kind, id }) => {
    if (kind === 'block') return nameOf(id);
    const mix = mixes.get(id);
    if (mix !== undefined) return titleOfMix(mix);
    const tile = tiles.get(id)?.body;
    const named = powders.get(id)?.body.name ?? figures.get(id)?.body.name;
    return named ?? tile?.code ?? tile?.name ?? `a ${kind} no longer there`;
  };
}
