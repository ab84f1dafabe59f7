import { useQueries } from '@tanstack/react-query';
import { LABEL_FIRST, THERMOMETER } from '../../../domain/cautions.ts';
import type { MixParts } from '../../../domain/mix-graph-of-book.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { client } from '../../book/client.ts';
import { useAll } from '../../book/queries.ts';
import { useResolvedMix } from '../../book/resolved-mix.ts';
import { useUnits } from '../../book/units.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { packetInWords, togetherInWords } from './baking-in-words.ts';

/** Baking notes from the packages of its lines, as the user typed them. The maker's label decides. */
export function BakeNotes({ mix }: { readonly mix: MixParts }) {
  const units = useUnits();
  const blocks = useAll('block').byId;
  const lines = useAll('line').byId;
  const { found } = useResolvedMix(mix);
  if (found?.status !== 'resolved') return null;
  const inIt = [
    ...new Set(found.blocks.flatMap(({ id }) => blocks.get(id)?.body.lineId ?? [])),
  ].flatMap((id) => lines.get(id) ?? []);
  return (
    <>
      <ul className="plain stack tight">
        {inIt.map(({ id, body }) => (
          <li key={id}>
            <b>{body.name}</b>: {packetInWords(body, units)}
          </li>
        ))}
      </ul>
      {inIt.length < 2 ? null : <p>{togetherInWords(inIt, units)}</p>}
      <p>
        These are your notes from the packages. {LABEL_FIRST} {THERMOMETER}
      </p>
      <Cautions topic="heat" />
    </>
  );
}

/** The user's notes on handling the clays of a mix. */
export function HandlingNotes({
  of,
}: {
  readonly of: readonly { readonly id: string; readonly name: string }[];
}) {
  const found = useQueries({
    queries: of.map(({ id }) => ({
      queryKey: ['mixes', 'notes', id],
      queryFn: async () => {
        const { body } = await client.call('listRecords', {
          query: {
            uses: id,
            role: 'of',
            kind: 'note',
            sort: 'changed',
            descending: 'true',
            limit: 3,
          },
        });
        return ofKind(body.records, 'note');
      },
    })),
  });
  const notes = found.flatMap(({ data }, i) =>
    (data ?? []).map((note) => ({ note, name: of[i].name })),
  );
  if (notes.length === 0) return null;
  return (
    <ul className="plain stack tight">
      {notes.map(({ note: { id, body }, name }) => (
        <li key={id}>
          <b>{name}</b>: {noteInWords(body)}
        </li>
      ))}
    </ul>
  );
}

function noteInWords({ feels, done, text }: RecordOf<'note'>['body']): string {
  const did = done.map(({ what, minutes, helped }) => {
    const long =
      minutes === undefined
        ? ''
        : minutes < 120
          ? ` ${minutes} min`
          : ` ${Number((minutes / 60).toFixed(1))} hours`;
    const how = helped === undefined ? '' : helped ? ' (helped)' : ' (did not help)';
    return `${what}${long}${how}`;
  });
  return [feels.join(', '), did.join(', '), text ?? ''].filter((part) => part !== '').join('; ');
}
