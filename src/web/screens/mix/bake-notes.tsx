import { useQueries } from '@tanstack/react-query';
import { type Baking, bakingOfLine, commonHeat } from '../../../domain/clay-of-block.ts';
import type { MixParts } from '../../../domain/mix-graph-of-book.ts';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { client } from '../../book/client.ts';
import { useAll } from '../../book/queries.ts';
import { useResolvedMix } from '../../book/resolved-mix.ts';
import { tempInWords, type Units, useUnits } from '../../book/units.ts';
import { Cautions } from '../../parts/cautions.tsx';

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
      <ul className="bake-lines">
        {inIt.map(({ id, body }) => (
          <li key={id}>
            <b>{body.name}</b>: {packetInWords(body, units)}
          </li>
        ))}
      </ul>
      {inIt.length < 2 ? null : <p>{togetherInWords(inIt, units)}</p>}
      <p>
        These are your notes from the packages. The maker's label decides how hot and how long.
        Check the heat with a thermometer next to the clay, not by the dial.
      </p>
      <Cautions topic="heat" />
    </>
  );
}

type Line = RecordOf<'line'>;

export function packetInWords(line: Line['body'], units: Units): string {
  const { heat, minutesPer6Mm, neverExceedC } = bakingOfLine(line);
  const said = [
    heat === undefined ? undefined : heatInWords(heat, units),
    minutesPer6Mm === undefined
      ? undefined
      : `${minutesPer6Mm} min for each ${units.length === 'mm' ? '6 mm' : '1/4 in'} of thickness`,
    neverExceedC === undefined ? undefined : `never above ${tempInWords(neverExceedC, units)}`,
  ].filter((part) => part !== undefined);
  return said.length === 0 ? 'no notes; follow the label' : said.join(', ');
}

export function heatInWords({ lowC, highC }: NonNullable<Baking['heat']>, units: Units): string {
  return lowC === highC
    ? tempInWords(lowC, units)
    : `${tempInWords(lowC, units)} to ${tempInWords(highC, units)}`;
}

/** Whether any heat suits the packages of all lines. */
export function togetherInWords(lines: readonly Line[], units: Units): string {
  const bakings = lines.map(({ body }) => ({ name: body.name, ...bakingOfLine(body) }));
  const silent = bakings.filter(({ heat }) => heat === undefined).map(({ name }) => name);
  if (silent.length > 0) {
    return `Read the label of ${silent.join(' and ')} before you bake these together.`;
  }
  const heat = commonHeat(bakings);
  if (heat === undefined) {
    return 'No heat suits all these packages. Bake a small test tile first, at the lowest heat on the labels.';
  }
  const only = heat.lowC === heat.highC ? ' only' : '';
  return `All these packages allow ${heatInWords(heat, units)}${only}.`;
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
    <ul className="bake-lines">
      {notes.map(({ note: { id, body }, name }) => (
        <li key={id}>
          <b>{name}</b>: {noteInWords(body)}
        </li>
      ))}
    </ul>
  );
}

function noteInWords({ feels, done, text }: RecordOf<'note'>['body']): string {
  const did = done.map(({ what, minutes }) =>
    minutes === undefined ? what : `${what} ${minutes} min`,
  );
  return [feels.join(', '), did.join(', '), text ?? ''].filter((part) => part !== '').join('; ');
}
