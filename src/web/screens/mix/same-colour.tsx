import { Link } from '@tanstack/react-router';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { type StrongShare, useStrongShare } from './strong-share.ts';

/** The colour of a mix again: without one of its clays, of a strong line, or less translucent. */
export function SameColour({ mix }: { readonly mix: RecordOf<'mix'> }) {
  const blocks = useAll('block');
  const lines = useAll('line').records;
  const { nameOf } = useBlockNames();
  const strength = useStrongShare(mix);
  const own = mix.body.parts.flatMap(({ of }) => blocks.byId.get(of.id) ?? []);
  if (own.length === 0) return null;
  const strong = lines.filter(({ body }) => /strong/i.test(body.clayType ?? ''));
  // Where no line is said to be strong, any may be meant.
  const offered = (strong.length > 0 ? strong : lines).filter(
    // Of a mix from one line, all is of that line already.
    ({ id }) => id !== strength?.lineId && own.some(({ body }) => body.lineId !== id),
  );
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
      {strength === undefined ? null : <Stronger mix={mix} strength={strength} />}
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

/** As much of the strong line as the bend tests ask for. */
function Stronger({
  mix,
  strength: { lineId, line, now, least, isGuess, part, wanted },
}: {
  readonly mix: RecordOf<'mix'>;
  readonly strength: StrongShare;
}) {
  if (!isGuess && now >= least) {
    return (
      <li className="soft small">
        {percent(now)} % {line}: enough for {part} by your bend tests.
      </li>
    );
  }
  return (
    <li>
      <Link to="/other-clays" search={{ mix: mix.id, least: lineId, share: String(least) }}>
        The same, stronger: at least {percent(least)} % {line}
      </Link>
      <span className="soft small">
        {' '}
        instead of {percent(now)} %
        {isGuess
          ? '. No share is proven yet: bend strips of it.'
          : `, for ${part}, ${wanted} in 10.`}
      </span>
    </li>
  );
}

function percent(share: number): number {
  return Math.round(100 * share);
}
