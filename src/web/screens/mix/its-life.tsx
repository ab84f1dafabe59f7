import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { Fragment } from 'react';
import type { BookKind, RecordOf } from '../../../domain/records/record.ts';
import { client } from '../../book/client.ts';
import type { Samples } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { dayInWords } from '../../book/when-in-words.ts';

/** When it was saved, its tiles, the figures made with it, and where what is left of it is. */
export function ItsLife({
  mix,
  samples,
}: {
  readonly mix: RecordOf<'mix'>;
  readonly samples: Samples;
}) {
  const units = useUnits();
  const boxes = useAll('box');
  const { data } = useQuery({
    queryKey: ['mixes', 'figures with', mix.id],
    queryFn: async () => {
      const of = async (kind: BookKind) =>
        (
          await client.call('listRecords', {
            query: { uses: mix.id, kind, sort: 'changed', descending: 'true', limit: 60 },
          })
        ).body.records;
      return [...(await of('figure')), ...(await of('palette'))];
    },
  });
  const events = [
    { at: mix.createdAt.slice(0, 10), said: 'saved' },
    ...samples.tiles.map(({ body, createdAt }) => ({
      at: body.bakes.at(-1)?.day ?? body.madeOn ?? createdAt.slice(0, 10),
      said: body.state === 'baked' ? 'tile baked' : 'tile made',
    })),
    ...(data ?? []).flatMap((record) =>
      record.kind === 'figure' && record.body.madeOn !== undefined
        ? [{ at: record.body.madeOn, said: `in ${record.body.name}` }]
        : [],
    ),
  ].toSorted((one, other) => one.at.localeCompare(other.at));
  const undated = (data ?? []).flatMap((record) =>
    'name' in record.body &&
    typeof record.body.name === 'string' &&
    (record.kind === 'palette' || (record.kind === 'figure' && record.body.madeOn === undefined))
      ? [record.body.name]
      : [],
  );
  const holding = boxes.records.filter(({ body }) => body.holds.some(({ of }) => of.id === mix.id));
  return (
    <>
      <p>
        {events.map(({ at, said }, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: events of one day may be alike
          <Fragment key={i}>
            {i === 0 ? '' : ' · '}
            <span className="nowrap">{dayInWords(at)}</span> {said}
          </Fragment>
        ))}
        {undated.length === 0 ? '' : ` · in ${undated.join(', ')}`}
      </p>
      {holding.map(({ id, body }) => {
        const lump = body.holds.find(({ of }) => of.id === mix.id);
        return (
          <p key={id}>
            {lump?.massG === undefined ? 'Some' : massInWords(lump.massG, units)} in{' '}
            <Link to="/book" search={{ box: id }}>
              {body.lid}
            </Link>
            {body.place === undefined ? '' : `, ${body.place}`}.
          </p>
        );
      })}
    </>
  );
}
