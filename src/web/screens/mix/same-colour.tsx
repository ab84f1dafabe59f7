import { Link } from '@tanstack/react-router';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';

/** The colour of a mix again: without one of its clays, of a strong line, or less translucent. */
export function SameColour({ mix }: { readonly mix: RecordOf<'mix'> }) {
  const blocks = useAll('block');
  const lines = useAll('line').records;
  const { nameOf } = useBlockNames();
  const own = mix.body.parts.flatMap(({ of }) => blocks.byId.get(of.id) ?? []);
  if (own.length === 0) return null;
  const strong = lines.filter(({ body }) => /strong/i.test(body.clayType ?? ''));
  // Where no line is said to be strong, any may be meant.
  const offered = strong.length > 0 ? strong : lines;
  const isTranslucent = own.some(({ body }) => body.clayType === 'translucent');
  return (
    <ul className="mix-ways" aria-label="The same colour">
      {own.map(({ id }) => (
        <li key={id}>
          <Link to="/other-clays" search={{ mix: mix.id, without: id }}>
            The same without {nameOf(id)}
          </Link>
        </li>
      ))}
      {offered.map(({ id, body }) => (
        <li key={id}>
          <Link to="/other-clays" search={{ mix: mix.id, least: id }}>
            The same with at least half {body.name}
          </Link>
        </li>
      ))}
      {isTranslucent ? (
        <li>
          <Link to="/other-clays" search={{ mix: mix.id, less: 'translucent' }}>
            The same, less translucent
          </Link>
        </li>
      ) : null}
    </ul>
  );
}
