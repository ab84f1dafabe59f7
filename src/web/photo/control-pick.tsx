import { useQueries, useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { ofKind } from '../../domain/records/of-kind.ts';
import { client } from '../book/client.ts';
import { recordQuery } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { Pick } from '../parts/field.tsx';
import { knownFirst } from './known-first.ts';
import { sayOfRow } from './photo-session-store.ts';

/** The newest readings are searched for tiles measured before. */
const MOST_READINGS = 500;

/** Names a tile in the photo as one the book has already measured. */
export function ControlPick({
  open,
}: {
  /** Tiles of the photo that are not named yet. */
  readonly open: readonly { readonly key: string; readonly name: string }[];
}) {
  const [code, setCode] = useState('');
  const [place, setPlace] = useState('');
  const { data: ids = [] } = useQuery({
    queryKey: ['tiles', 'known as measured'],
    queryFn: async () => {
      const { body } = await client.call('listRecords', {
        query: { kind: 'reading', sort: 'created', descending: 'true', limit: MOST_READINGS },
      });
      return knownFirst(ofKind(body.records, 'reading'));
    },
  });
  const records = useQueries({ queries: ids.map(recordQuery) });
  const codes = records.flatMap(({ data }) =>
    data?.kind === 'tile' && data.body.code !== undefined ? [data.body.code] : [],
  );
  if (codes.length === 0 || open.length === 0) return null;
  const row = open.find(({ key }) => key === place);
  return (
    <div className="form">
      <Pick
        label="A tile measured before"
        help="Tiles measured on several days are listed first."
        value={codes.includes(code) ? code : ''}
        onChange={setCode}
        options={[['', 'choose one'], ...codes.map((one) => [one, one] as const)]}
      />
      <Pick
        label="Its place in this photo"
        value={row === undefined ? '' : place}
        onChange={setPlace}
        options={[
          ['', 'choose its place'],
          ...open.map(({ key, name }) => [key, `tile ${name}`] as const),
        ]}
      />
      <div className="actions">
        <Button
          isDisabled={row === undefined || !codes.includes(code)}
          onPress={() => {
            if (row === undefined) return;
            sayOfRow(row.key, { text: code, take: true });
            setCode('');
            setPlace('');
          }}
        >
          Use this tile
        </Button>
      </div>
    </div>
  );
}
