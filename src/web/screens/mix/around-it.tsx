import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { licenceOf } from '../../../domain/share/licences.ts';
import { client } from '../../book/client.ts';
import { useColoursOf } from '../../book/colours.ts';
import { titleOfMix } from '../../book/names.ts';
import { useAll, useRecord } from '../../book/queries.ts';
import { Button } from '../../parts/button.tsx';
import { Part } from '../../parts/field.tsx';
import { Tile } from '../../parts/tile.tsx';

/** Shown at first, and added with every press. */
const SOME = 12;
const MOST = 192;

/** Mixes as tiles that lead to their pages. */
function MixLinks({ mixes }: { readonly mixes: readonly RecordOf<'mix'>[] }) {
  const colours = useColoursOf(mixes.map(({ id }) => id));
  return (
    <ul className="swatches" data-size="small">
      {mixes.map((mix) => (
        <li key={mix.id} className="mix-link">
          <Link to="/book/$id" params={{ id: mix.id }}>
            <Tile
              lab={colours.shown(mix.id)?.lab}
              coming={colours.isPending}
              name={titleOfMix(mix)}
            />
            <span className="small">
              {mix.body.code === undefined ? null : <span className="code">{mix.body.code} </span>}
              {mix.body.name ?? ''}
            </span>
          </Link>
        </li>
      ))}
    </ul>
  );
}

function useMixesWith(id: string, limit: number) {
  const { data } = useQuery({
    queryKey: ['mixes', 'with', id, limit],
    queryFn: async () => {
      const { body } = await client.call('listRecords', {
        query: { uses: id, kind: 'mix', sort: 'changed', descending: 'true', limit },
      });
      return { total: body.total, records: body.records };
    },
  });
  return data;
}

/** Mixes that use this mix, or were changed from it. */
export function MixesThatUseIt({ id }: { readonly id: string }) {
  const [limit, setLimit] = useState(SOME);
  const found = useMixesWith(id, limit);
  if (found === undefined || found.total === 0) return null;
  return (
    <Part title="Mixes made with this one">
      <MixLinks mixes={ofKind(found.records, 'mix')} />
      {found.total > found.records.length && limit < MOST ? (
        <Button kind="quiet" onPress={() => setLimit(Math.min(MOST, limit * 4))}>
          {found.records.length} of {found.total.toLocaleString('en')}; show more
        </Button>
      ) : null}
    </Part>
  );
}

/** The mix this one was changed from. */
export function CameFrom({ id }: { readonly id: string }) {
  const { record } = useRecord(id);
  if (record?.kind !== 'mix') return null;
  return (
    <p>
      Changed from{' '}
      <Link to="/book/$id" params={{ id }}>
        {titleOfMix(record)}
      </Link>
      .
    </p>
  );
}

/** Whose mix it is, and on what terms, where somebody else shared it. */
export function SharedBy({ mix }: { readonly mix: RecordOf<'mix'> }) {
  const collections = useAll('collection').byId;
  const [from] = (mix.body.collectionIds ?? []).flatMap(
    (id) => collections.get(id)?.body.sharedBy ?? [],
  );
  if (from === undefined) return null;
  const { name, says } = licenceOf(from.licence);
  return (
    <p className="small">
      Shared by {[from.author, from.link].filter(Boolean).join(', ')}, in {from.title}. {name}:{' '}
      {says}
    </p>
  );
}
