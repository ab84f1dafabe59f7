import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { verdictWord } from '../../../core/verdict/verdict.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { BookKind, RecordOf } from '../../../domain/records/record.ts';
import { client } from '../../book/client.ts';
import { useColoursOf } from '../../book/colours.ts';
import { titleOfMix } from '../../book/names.ts';
import { useAll, useRecord } from '../../book/queries.ts';
import { dayInWords } from '../../book/when-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Tile } from '../../parts/tile.tsx';

/** Shown at first, and added with every press. */
const SOME = 12;
const MOST = 192;

/** Mixes as tiles that lead to their pages. */
function MixLinks({
  mixes,
  said,
}: {
  readonly mixes: readonly RecordOf<'mix'>[];
  readonly said?: (id: string) => string;
}) {
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
            {said === undefined ? null : <span className="small soft">{said(mix.id)}</span>}
          </Link>
        </li>
      ))}
    </ul>
  );
}

function useNamers(id: string, kind: BookKind, limit: number) {
  const { data } = useQuery({
    queryKey: ['mixes', 'namers', id, kind, limit],
    queryFn: async () => {
      const { body } = await client.call('listRecords', {
        query: { uses: id, kind, sort: 'changed', descending: 'true', limit },
      });
      return { total: body.total, records: body.records };
    },
  });
  return data;
}

/** Mixes that use this mix, or were changed from it. */
export function MixesThatUseIt({ id }: { readonly id: string }) {
  const [limit, setLimit] = useState(SOME);
  const found = useNamers(id, 'mix', limit);
  if (found === undefined) return null;
  if (found.total === 0) return <p className="soft">Not used in another mix yet.</p>;
  return (
    <>
      <MixLinks mixes={ofKind(found.records, 'mix')} />
      {found.total > found.records.length && limit < MOST ? (
        <Button kind="quiet" onPress={() => setLimit(Math.min(MOST, limit * 4))}>
          {found.records.length} of {found.total.toLocaleString('en')}; show more
        </Button>
      ) : null}
    </>
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

/** Figures and palettes that use this mix. */
export function UsedIn({ id }: { readonly id: string }) {
  const figures = useNamers(id, 'figure', 60);
  const palettes = useNamers(id, 'palette', 60);
  if (figures === undefined || palettes === undefined) return null;
  const shown = [...figures.records, ...palettes.records];
  if (shown.length === 0) return <p className="soft">Not used in a figure yet.</p>;
  return (
    <ul className="history">
      {shown.map((record) => (
        <li key={record.id}>
          <span>
            {'name' in record.body ? record.body.name : record.id}, a {record.kind}
            {record.kind === 'figure' && record.body.madeOn !== undefined ? (
              <span className="soft small"> made {dayInWords(record.body.madeOn)}</span>
            ) : null}
          </span>
        </li>
      ))}
    </ul>
  );
}

/** Boxes this mix is stored in. */
export function StoredIn({ id }: { readonly id: string }) {
  const boxes = useAll('box');
  const holding = boxes.records.filter(({ body }) => body.holds.some(({ of }) => of.id === id));
  if (boxes.isPending) return null;
  if (holding.length === 0) {
    return <p className="soft">No leftover clay is stored in a box.</p>;
  }
  return (
    <ul className="history">
      {holding.map((box) => {
        const lump = box.body.holds.find(({ of }) => of.id === id);
        const outer =
          box.body.insideOf === undefined ? undefined : boxes.byId.get(box.body.insideOf);
        return (
          <li key={box.id}>
            <span>
              <Link to="/book" search={{ box: box.id }}>
                {box.body.lid}
              </Link>
              {box.body.place === undefined ? '' : `, ${box.body.place}`}
              {outer === undefined ? '' : `, in ${outer.body.lid}`}
              {lump?.massG === undefined ? null : (
                <span className="soft"> {Math.round(lump.massG)} g</span>
              )}
            </span>
          </li>
        );
      })}
    </ul>
  );
}

/** Mixes of the book with the closest colours. */
export function SimilarMixes({ id, lab }: { readonly id: string; readonly lab: Lab }) {
  const { data } = useQuery({
    queryKey: ['near', 'mix', id, lab],
    queryFn: async () => {
      const [l, a, b] = lab;
      const { body } = await client.call('nearest', {
        query: { l, a, b, kind: ['mix'], within: 10, top: 9 },
      });
      return body.near;
    },
  });
  if (data === undefined) return null;
  const others = data.filter(({ record }) => record.id !== id).slice(0, 8);
  if (others.length === 0) return <p className="soft">No similar mix.</p>;
  const far = new Map(others.map(({ record, dE00 }) => [record.id, dE00]));
  return (
    <>
      <MixLinks
        mixes={ofKind(
          others.map(({ record }) => record),
          'mix',
        )}
        said={(one) => verdictWord(far.get(one) ?? 99)}
      />
      <Link
        className="button"
        data-kind="quiet"
        to="/book"
        search={{ near: lab.map((v) => v.toFixed(2)).join('_') }}
      >
        All similar mixes
      </Link>
    </>
  );
}
