import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { client } from '../../book/client.ts';
import { Tile } from '../../parts/tile.tsx';
import { count } from '../count.ts';

const SHOWN = 6;
const ASKED = 100;

/** The mixes a block is in, those with the largest share of it first. */
export function TouchedMixes({
  blockId,
  name,
}: {
  readonly blockId: string;
  readonly name: string;
}) {
  const { data } = useQuery({
    queryKey: ['mixes', 'touched by', blockId],
    queryFn: async () =>
      (
        await client.call('mixList', {
          query: { block: blockId, parts: 'true', sort: 'name', limit: ASKED },
        })
      ).body,
  });
  if (data === undefined) return <p className="soft small">Loading …</p>;
  if (data.total === 0) return <p className="small soft">No mix needs {name}.</p>;
  const worst = data.rows
    .map((row) => ({ row, share: shareOf(row.parts ?? [], blockId) }))
    .toSorted((one, other) => other.share - one.share)
    .slice(0, SHOWN);
  return (
    <>
      <p className="small">
        <Link to="/book" search={{ clay: blockId }}>
          {count(data.total, 'mix', 'mixes')}
        </Link>{' '}
        {data.total === 1 ? 'needs' : 'need'} {name}.
      </p>
      <ul className="touched">
        {worst.map(({ row }) => (
          <li key={row.id}>
            <Link to="/book/$id" params={{ id: row.id }}>
              <Tile lab={row.lab} name={row.name ?? row.code ?? 'a mix'} />
              <span className="small">{row.name ?? row.code}</span>
            </Link>
          </li>
        ))}
      </ul>
    </>
  );
}

function shareOf(
  parts: readonly { readonly of: { readonly id: string }; readonly parts: number }[],
  blockId: string,
): number {
  const whole = parts.reduce((sum, one) => sum + one.parts, 0);
  const own = parts.find(({ of }) => of.id === blockId)?.parts ?? 0;
  return whole === 0 ? 0 : own / whole;
}
