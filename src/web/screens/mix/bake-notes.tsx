import { useQueries, useQuery } from '@tanstack/react-query';
import { ofKind } from '../../../domain/records/of-kind.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { client } from '../../book/client.ts';
import { queries, recordQuery, useAll } from '../../book/queries.ts';
import { tempInWords, type Units, useUnits } from '../../book/units.ts';

/** Most mixes inside one another searched for their clays. */
const MOST_MIXES = 200;

/** Blocks of a mix, also those inside other mixes. */
function useBlocksIn(mix: RecordOf<'mix'>): readonly string[] | undefined {
  const { data } = useQuery({
    queryKey: ['mixes', 'blocks in', mix.id, mix.version],
    queryFn: async () => {
      const blocks = new Set<string>();
      const seen = new Set([mix.id]);
      const next = [mix];
      for (let one = next.pop(); one !== undefined; one = next.pop()) {
        for (const { of } of one.body.parts) {
          if (of.kind === 'block') blocks.add(of.id);
          else if (!seen.has(of.id) && seen.size < MOST_MIXES) {
            seen.add(of.id);
            const inner = await queries.fetchQuery(recordQuery(of.id));
            if (inner.kind === 'mix') next.push(inner);
          }
        }
      }
      return [...blocks];
    },
  });
  return data;
}

/** Baking notes from the packages of its lines, as the user typed them. The maker's label decides. */
export function BakeNotes({ mix }: { readonly mix: RecordOf<'mix'> }) {
  const units = useUnits();
  const blocks = useAll('block').byId;
  const lines = useAll('line').byId;
  const ids = useBlocksIn(mix);
  if (ids === undefined) return null;
  const inIt = [...new Set(ids.flatMap((id) => blocks.get(id)?.body.lineId ?? []))].flatMap(
    (id) => lines.get(id) ?? [],
  );
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
      <p>
        An adult runs the oven and airs the room. If it smokes: turn the oven off, keep the door
        shut, open the windows, leave the room.
      </p>
    </>
  );
}

type Line = RecordOf<'line'>;

export function packetInWords(
  { bakeLowC, bakeHighC, minutesPer6Mm, neverExceedC }: Line['body'],
  units: Units,
): string {
  const [low, high] = [bakeLowC ?? bakeHighC, bakeHighC ?? bakeLowC];
  const heat =
    low === undefined || high === undefined
      ? undefined
      : low === high
        ? tempInWords(low, units)
        : `${tempInWords(low, units)} to ${tempInWords(high, units)}`;
  const said = [
    heat,
    minutesPer6Mm === undefined
      ? undefined
      : `${minutesPer6Mm} min for each ${units.length === 'mm' ? '6 mm' : '1/4 in'} of thickness`,
    neverExceedC === undefined ? undefined : `never above ${tempInWords(neverExceedC, units)}`,
  ].filter((part) => part !== undefined);
  return said.length === 0 ? 'no notes; follow the label' : said.join(', ');
}

/** Whether any heat suits the packages of all lines. */
export function togetherInWords(lines: readonly Line[], units: Units): string {
  const silent = lines.filter(
    ({ body }) => body.bakeLowC === undefined && body.bakeHighC === undefined,
  );
  if (silent.length > 0) {
    return `Read the label of ${silent.map(({ body }) => body.name).join(' and ')} before you bake these together.`;
  }
  const low = Math.max(...lines.map(({ body }) => body.bakeLowC ?? body.bakeHighC!));
  const high = Math.min(
    ...lines.map(({ body }) =>
      Math.min(body.bakeHighC ?? body.bakeLowC!, body.neverExceedC ?? Number.POSITIVE_INFINITY),
    ),
  );
  if (low > high) {
    return 'No heat suits all these packages. Bake a small test tile first, at the lowest heat on the labels.';
  }
  return low === high
    ? `All these packages allow ${tempInWords(low, units)} only.`
    : `All these packages allow ${tempInWords(low, units)} to ${tempInWords(high, units)}.`;
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
