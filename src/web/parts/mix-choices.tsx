import { useQuery } from '@tanstack/react-query';
import { useDeferredValue, useState } from 'react';
import type { ApiAnswer } from '../../api/routes.ts';
import { client } from '../book/client.ts';
import { Field } from './field.tsx';
import { Tile } from './tile.tsx';

export type MixChoice = ApiAnswer<'mixList'>['rows'][number];

const SHOWN = 24;

/** Mixes of the book to choose from, by their tiles; typing narrows them by name, code or colour. */
export function MixChoices({ onChoose }: { readonly onChoose: (mix: MixChoice) => void }) {
  const [typed, setTyped] = useState('');
  const asked = useDeferredValue(typed.trim());
  const { data = [] } = useQuery({
    queryKey: ['mixes', 'choices', asked],
    queryFn: async () => {
      const query =
        asked === ''
          ? { sort: 'changed' as const, descending: 'true' as const, limit: SHOWN }
          : { text: asked, sort: 'name' as const, limit: SHOWN };
      const { body } = await client.call('mixList', { query });
      return body.rows.filter(({ gone }) => gone !== true);
    },
  });
  return (
    <>
      <Field label="Search mixes" value={typed} onChange={setTyped} />
      <ul className="bench clay-choices">
        {data.map((mix) => (
          <li key={mix.id}>
            <button type="button" onClick={() => onChoose(mix)}>
              <Tile lab={mix.lab} name={mix.name ?? mix.code ?? 'a mix'} />
              <span className="small" aria-hidden="true">
                {mix.name ?? mix.code}
              </span>
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}
