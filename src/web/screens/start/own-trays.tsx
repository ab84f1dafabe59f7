import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { inARow } from '../../../core/in-a-row.ts';
import { isOwned } from '../../../domain/clay-of-block.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useColours } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { byHue } from '../../colour/by-hue.ts';
import { Block } from '../../parts/block.tsx';
import { Tray } from '../../parts/tray.tsx';
import { count } from '../count.ts';
import { useOnHand } from '../stock/on-hand.ts';

/** Blocks drawn of one line; Stock shows all. */
const MOST_DRAWN = 60;

/** The user's own blocks, line by line, each with what is left of it. */
export function OwnTrays({ more }: { readonly more?: ReactNode }) {
  const blocks = useAll('block');
  const lines = useAll('line');
  const colours = useColours();
  const onHand = useOnHand();
  const trays = lines.records
    .map((line) => ({
      line,
      own: blocks.records
        .filter((block) => block.body.lineId === line.id && isOwned(block))
        .map((block) => ({ block, lab: colours.of(block.id)?.lab }))
        .toSorted(({ lab: one }, { lab: other }) =>
          one === undefined || other === undefined
            ? Number(one === undefined) - Number(other === undefined)
            : byHue(one, other),
        ),
    }))
    .filter(({ own }) => own.length > 0)
    .toSorted((one, other) => other.own.length - one.own.length);
  return (
    <div className="start-trays">
      {trays.map(({ line, own }, i) => (
        <Tray
          key={line.id}
          name={line.body.name}
          link={(words) => <Link to="/stock">{words}</Link>}
          note={noteOf(own.map(({ block }) => block))}
          more={i === trays.length - 1 ? more : undefined}
        >
          {own.slice(0, MOST_DRAWN).map(({ block: { id, body }, lab }) => (
            <li key={id}>
              <Block
                name={body.name}
                lab={lab}
                packageG={body.packageG}
                leftG={onHand?.get(id)?.grams}
                effect={body.clayType === 'opaque' ? undefined : body.clayType}
              />
            </li>
          ))}
        </Tray>
      ))}
    </div>
  );
}

/** "14 blocks, 60 g, pearl and translucent" */
function noteOf(blocks: readonly RecordOf<'block'>[]): string {
  const weights = new Set(blocks.flatMap(({ body }) => body.packageG ?? []));
  const [weight] = weights;
  const types = [...new Set(blocks.map(({ body }) => body.clayType))].filter(
    (type) => type !== 'opaque',
  );
  return [
    count(blocks.length, 'block'),
    ...(weights.size === 1 ? [`${weight} g`] : []),
    ...(types.length === 0 ? [] : [inARow(types)]),
  ].join(', ');
}

/** The same trays before there is a block, in hatching. */
export function EmptyTrays() {
  return (
    <div className="start-trays" aria-hidden="true">
      {[
        ['Your first line', 14],
        ['Next line', 7],
      ].map(([name, blocks]) => (
        <Tray key={name} name={String(name)}>
          {Array.from({ length: Number(blocks) }, (_, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: empty places are alike
            <li key={i}>
              <Block name="" lab={undefined} />
            </li>
          ))}
        </Tray>
      ))}
    </div>
  );
}
