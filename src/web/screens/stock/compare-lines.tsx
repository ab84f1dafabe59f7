import { useMemo, useState } from 'react';
import { closestOfOtherLines } from '../../../core/colour/closest-of-others.ts';
import type { Lab } from '../../../core/colour/triples.ts';
import { sideInWords, sidesOf, verdictWord } from '../../../core/verdict/verdict.ts';
import { verdictHead } from '../../../core/verdict/verdict-in-words.ts';
import { useClays } from '../../book/clays.ts';
import { useColours } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { byHue } from '../../colour/by-hue.ts';
import { Choice } from '../../parts/choice.tsx';
import { Tile } from '../../parts/tile.tsx';
import type { BlockOnRing } from './gap-mixes.ts';
import { HueRing } from './hue-ring.tsx';
import { HuesCompared } from './hues-compared.tsx';
import { WithLinesAsked } from './lines-asked.tsx';

interface Coloured extends BlockOnRing {
  /** Its line. */
  readonly group: string;
}

const ALL = 'all';

/** Lines side by side: every block touching its closest of another line, with the pinch that turns that one into it. */
export function CompareLines({ onOpen }: { readonly onOpen: (blockId: string) => void }) {
  const blocks = useAll('block').records;
  const lines = useAll('line');
  const colours = useColours();
  const [shown, setShown] = useState(ALL);
  const clays = useClays();
  const open = clays.state === 'open' ? clays.clays : undefined;
  const coloured = useMemo(
    () =>
      blocks.flatMap(({ id, body }): Coloured[] => {
        // A block nobody read alone is known from its mixes.
        const lab = colours.of(id)?.lab ?? open?.byBlock.get(id)?.lab;
        return lab === undefined ? [] : [{ id, name: body.name, lab, group: body.lineId }];
      }),
    [blocks, colours, open],
  );
  const closest = useMemo(() => closestOfOtherLines(coloured), [coloured]);
  const used = lines.records.filter(({ id }) => coloured.some(({ group }) => group === id));
  const lineOf = (id: string) => lines.byId.get(id)?.body.name ?? '';
  const own = coloured
    .filter(({ id, group }) => (shown === ALL ? !isSaidBefore(id, closest) : group === shown))
    .toSorted((one, other) => byHue(one.lab, other.lab));
  return (
    <WithLinesAsked>
      {(asked) => (
        <>
          <HueRing blocks={coloured} open={open} />
          <HuesCompared asked={asked} />
          {used.length < 2 ? (
            <p className="soft">With blocks of a second line, each is shown beside its closest.</p>
          ) : (
            <>
              <Choice
                label="Blocks of"
                value={shown}
                onChange={setShown}
                options={[
                  [ALL, 'All lines'],
                  ...used.map(({ id, body }) => [id, body.name] as const),
                ]}
              />
              <ul className="bench pairs">
                {own.map((one) => {
                  const found = closest.get(one.id);
                  if (found === undefined) return null;
                  const { other, dE00 } = found;
                  const pinch = asked.pinchOf(one.id, other.id);
                  return (
                    <li key={one.id}>
                      <span className="side-by-side">
                        <Tile lab={one.lab} name={one.name} />
                        <Tile lab={other.lab} name={other.name} />
                      </span>
                      <span className="pair-names">
                        <button type="button" onClick={() => onOpen(one.id)}>
                          {one.name}
                          <span className="small">{lineOf(one.group)}</span>
                        </button>
                        <button type="button" onClick={() => onOpen(other.id)}>
                          {other.name}
                          <span className="small">{lineOf(other.group)}</span>
                        </button>
                      </span>
                      <span className="small">
                        {pairInWords(one.lab, other.lab, dE00)}
                        {pinch === undefined ? null : <span className="pair-pinch">{pinch}</span>}
                      </span>
                    </li>
                  );
                })}
              </ul>
            </>
          )}
        </>
      )}
    </WithLinesAsked>
  );
}

/** Two blocks that are each other's closest are one pair among all lines. */
function isSaidBefore(id: string, closest: ReadonlyMap<string, { other: Coloured }>): boolean {
  const other = closest.get(id)?.other.id;
  return other !== undefined && other < id && closest.get(other)?.other.id === id;
}

/** The second seen from the first: "Close, slightly duller". */
function pairInWords(one: Lab, other: Lab, dE00: number): string {
  const word = verdictWord(dE00);
  const head = verdictHead(word);
  return word === 'same' ? head : `${head}, ${sideInWords(sidesOf(one, other)[0])}`;
}
