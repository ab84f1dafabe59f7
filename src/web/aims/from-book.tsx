import { useQuery } from '@tanstack/react-query';
import { useDeferredValue, useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import type { BookRecord } from '../../domain/records/record.ts';
import { client } from '../book/client.ts';
import { useColoursOf } from '../book/colours.ts';
import { Field } from '../parts/field.tsx';
import { Tile } from '../parts/tile.tsx';

/** Chooses the colour of a mix, block or tile of the book. */
export function AimFromBook({
  onChoose,
}: {
  readonly onChoose: (lab: Lab, words: string) => void;
}) {
  const [text, setText] = useState('');
  const asked = useDeferredValue(text.trim());
  const { data = [] } = useQuery({
    queryKey: ['near', 'aims', asked],
    queryFn: async () => {
      const { body } =
        asked === ''
          ? await client.call('listRecords', {
              query: { kind: 'mix', sort: 'changed', descending: 'true', limit: 24 },
            })
          : await client.call('search', {
              query: { text: asked, kind: ['mix', 'block', 'tile'], limit: 24 },
            });
      return body.records;
    },
  });
  const colours = useColoursOf(data.map(({ id }) => id));
  const coloured = data.flatMap((record) => {
    const lab = colours.shown(record.id)?.lab;
    return lab === undefined ? [] : [{ record, lab, words: wordsOf(record) }];
  });
  return (
    <div className="stack">
      <Field label="Code, name, tag or colour" value={text} onChange={setText} />
      {coloured.length === 0 ? (
        <p className="soft">
          {asked === ''
            ? 'No mix has a colour yet. Choose the colour by eye, or type it.'
            : `Nothing with a colour found for “${asked}”.`}
        </p>
      ) : (
        <ul className="swatches bench" data-size="small">
          {coloured.map(({ record, lab, words }) => (
            <li key={record.id} style={{ listStyle: 'none' }}>
              <button type="button" className="chosen-sample" onClick={() => onChoose(lab, words)}>
                <Tile lab={lab} name={words} />
                <span className="contact-name">{words}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

function wordsOf({ body, id }: BookRecord): string {
  const code = 'code' in body ? body.code : undefined;
  const name = 'name' in body ? body.name : undefined;
  return [code, name].filter(Boolean).join(' ') || id;
}
