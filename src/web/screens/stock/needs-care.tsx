import { Link } from '@tanstack/react-router';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useColours } from '../../book/colours.ts';
import { useBlockNames } from '../../book/names.ts';
import { useAll } from '../../book/queries.ts';
import { Block, leftInWords } from '../../parts/block.tsx';
import { effectOf } from '../block-types.ts';
import { type OnHand, runsLow } from './on-hand.ts';
import { TouchedMixes } from './touched-mixes.tsx';

/** Blocks that run low, emptiest first, and blocks whose newest lot differs, with the mixes they touch. */
export function NeedsCare({
  blocks,
  stock,
  onOpen,
}: {
  readonly blocks: readonly RecordOf<'block'>[];
  readonly stock: ReadonlyMap<string, OnHand> | undefined;
  readonly onOpen: (id: string) => void;
}) {
  const { nameOf } = useBlockNames();
  const colours = useColours();
  const purchases = useAll('purchase').records;
  const changed = new Set(
    purchases.filter(({ body }) => body.reformulated).map(({ body }) => body.of.id),
  );
  const low = blocks
    .filter(({ id }) => runsLow(stock?.get(id)))
    .toSorted((one, other) => gramsOf(stock, one.id) - gramsOf(stock, other.id));
  const other = blocks.filter(({ id }) => changed.has(id) && !low.some((one) => one.id === id));
  if (low.length + other.length === 0) return null;
  return (
    <section className="stack" aria-labelledby="needs-care">
      <h2 id="needs-care">{low.length === 0 ? 'A lot that differs' : 'What runs low?'}</h2>
      <ul className="care">
        {[...low, ...other].map(({ id, body }) => {
          const left = leftInWords(stock?.get(id)?.grams, body.packageG);
          return (
            <li key={id}>
              <button type="button" className="care-block bench" onClick={() => onOpen(id)}>
                <Block
                  name={nameOf(id)}
                  lab={colours.of(id)?.lab}
                  packageG={body.packageG}
                  leftG={stock?.get(id)?.grams}
                  effect={effectOf(body.clayType)}
                />
                <span>
                  <b>{body.name}</b>
                  <span className="small">
                    {[left, changed.has(id) ? 'the newest lot differs' : '']
                      .filter(Boolean)
                      .join(', ')}
                  </span>
                </span>
              </button>
              {changed.has(id) ? (
                <p className="small">
                  <Link to="/new-lot" search={{ block: id }}>
                    Which mixes does the new lot change?
                  </Link>
                </p>
              ) : null}
              <TouchedMixes blockId={id} name={body.name} />
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function gramsOf(stock: ReadonlyMap<string, OnHand> | undefined, id: string): number {
  return stock?.get(id)?.grams ?? Number.POSITIVE_INFINITY;
}
