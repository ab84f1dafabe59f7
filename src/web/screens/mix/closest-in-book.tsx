import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import type { Lab } from '../../../core/colour/triples.ts';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { FARTHEST_DE00 } from '../../../domain/records/mix-filters.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { client } from '../../book/client.ts';
import { useColoursOf } from '../../book/colours.ts';
import { titleOfMix } from '../../book/names.ts';
import { labInAddress } from '../../colour/lab-in-address.ts';
import { Tile } from '../../parts/tile.tsx';

const SHOWN = 3;

/** The mixes with the closest colours, touching this one. */
export function ClosestInBook({ mix, lab }: { readonly mix: RecordOf<'mix'>; readonly lab: Lab }) {
  const { data } = useQuery({
    queryKey: ['near', 'mix', mix.id, lab],
    queryFn: async () => {
      const [l, a, b] = lab;
      const { body } = await client.call('nearest', {
        query: { l, a, b, kind: ['mix'], within: FARTHEST_DE00, top: SHOWN + 1 },
      });
      return body.near;
    },
  });
  const others = (data ?? []).filter(({ record }) => record.id !== mix.id).slice(0, SHOWN);
  const mixes = ofKind(
    others.map(({ record }) => record),
    'mix',
  );
  const colours = useColoursOf(mixes.map(({ id }) => id));
  const far = new Map(others.map(({ record, dE00 }) => [record.id, dE00]));
  if (data === undefined) return <p className="soft">Loading …</p>;
  if (mixes.length === 0) return <p className="soft">No other mix is close to this one.</p>;
  return (
    <>
      <ul className="closest">
        <li>
          <Tile lab={lab} name={titleOfMix(mix)} />
          <span className="small">
            {titleOfMix(mix)}, <span className="soft">this one</span>
          </span>
        </li>
        {mixes.map((one) => (
          <li key={one.id}>
            <Link to="/book/$id" params={{ id: one.id }}>
              <Tile
                lab={colours.shown(one.id)?.lab}
                coming={colours.isPending}
                name={titleOfMix(one)}
              />
              <span className="small">
                {titleOfMix(one)},{' '}
                <span className="soft">{wordFor(far.get(one.id) ?? FARTHEST_DE00)}</span>
              </span>
            </Link>
          </li>
        ))}
      </ul>
      <Link className="button" data-kind="quiet" to="/book" search={{ near: labInAddress(lab) }}>
        All close mixes
      </Link>
    </>
  );
}

function wordFor(dE00: number): string {
  const word = verdictWord(dE00);
  return word === 'family' ? 'same family' : word === 'same' ? 'the same' : word;
}
