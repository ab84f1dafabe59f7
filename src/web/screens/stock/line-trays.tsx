import { useState } from 'react';
import { isOwned } from '../../../domain/clay-of-block.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { useColours } from '../../book/colours.ts';
import { useAll } from '../../book/queries.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { byHue } from '../../colour/by-hue.ts';
import { Block, leftInWords } from '../../parts/block.tsx';
import { Button } from '../../parts/button.tsx';
import { Unshown } from '../../parts/tile.tsx';
import { Tray } from '../../parts/tray.tsx';
import { effectOf } from '../block-types.ts';
import { count } from '../count.ts';
import { EditLine } from './edit-line.tsx';
import { LineOven } from './line-oven.tsx';
import { LinePackage } from './line-package.tsx';
import { type OnHand, runsLow } from './on-hand.ts';
import { useRawBakedPairs } from './raw-baked-pairs.ts';

/** The blocks of every line in their trays, by hue, with what is left of each. */
export function LineTrays({
  stock,
  onOpen,
}: {
  readonly stock: ReadonlyMap<string, OnHand> | undefined;
  readonly onOpen: (id: string) => void;
}) {
  const lines = useAll('line').records;
  const blocks = useAll('block').records;
  const colours = useColours();
  const units = useUnits();
  const [editing, setEditing] = useState<RecordOf<'line'> | undefined>();
  return (
    <div className="trays">
      {lines.map((line) => {
        const own = blocks
          .filter((block) => block.body.lineId === line.id && isOwned(block))
          .toSorted((one, other) => {
            const [first, second] = [colours.of(one.id)?.lab, colours.of(other.id)?.lab];
            if (first === undefined || second === undefined) return first === undefined ? 1 : -1;
            return byHue(first, second);
          });
        if (own.length === 0 && blocks.some(({ body }) => body.lineId === line.id)) return null;
        const weights = new Set(own.map(({ body }) => body.packageG));
        const [each] = weights;
        return (
          <div key={line.id} className="stack tight">
            <Tray
              name={line.body.name}
              note={`${count(own.length, 'block')}${
                weights.size === 1 && each !== undefined ? `, ${massInWords(each, units)}` : ''
              }`}
            >
              {own.map(({ id, body }) => {
                const leftG = stock?.get(id)?.grams;
                const said = [
                  leftInWords(leftG, body.packageG),
                  runsLow(stock?.get(id)) ? 'low' : '',
                  body.status === 'discontinued' ? 'no longer sold' : '',
                ].filter(Boolean);
                return (
                  <li key={id} className="tray-block stock-cell">
                    <button type="button" onClick={() => onOpen(id)}>
                      <Block
                        name={[body.code, body.name].filter(Boolean).join(' ')}
                        lab={colours.of(id)?.lab}
                        packageG={body.packageG}
                        leftG={leftG}
                        effect={effectOf(body.clayType)}
                      />
                      <span className="tray-name small" aria-hidden="true">
                        {body.name}
                      </span>
                    </button>
                    <Unshown lab={colours.of(id)?.lab} />
                    <span className="unseen">{said.join(', ')}</span>
                  </li>
                );
              })}
            </Tray>
            <AboutLine line={line} onEdit={() => setEditing(line)} />
          </div>
        );
      })}
      {editing === undefined ? null : (
        <EditLine line={editing} onClose={() => setEditing(undefined)} />
      )}
    </div>
  );
}

/** What the packages say and what the oven does, behind one line. */
function AboutLine({
  line,
  onEdit,
}: {
  readonly line: RecordOf<'line'>;
  readonly onEdit: () => void;
}) {
  const pairs = useRawBakedPairs();
  return (
    <details className="about-line">
      <summary>About {line.body.name}</summary>
      <div className="stack">
        <LinePackage line={line} />
        <LineOven name={line.body.name} pairs={pairs.get(line.id) ?? []} />
        <div className="actions">
          <Button kind="quiet" aria-label={`Edit line ${line.body.name}`} onPress={onEdit}>
            Edit line
          </Button>
        </div>
      </div>
    </details>
  );
}
