import '../look/stock.css';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { RecordOf } from '../../domain/records/record.ts';
import { useColours } from '../book/colours.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { useUnits } from '../book/units.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Tile, Unshown } from '../parts/tile.tsx';
import { BlockDialog } from './stock/block-dialog.tsx';
import { Boxes } from './stock/boxes.tsx';
import { EditLine } from './stock/edit-line.tsx';
import { HueByHue } from './stock/hue-by-hue.tsx';
import { LineOven } from './stock/line-oven.tsx';
import { LinePackage } from './stock/line-package.tsx';
import { amountInWords, runsLow, useOnHand } from './stock/on-hand.ts';
import { useRawBakedPairs } from './stock/raw-baked-pairs.ts';

/** Which clays do I own, what runs low, and where are they? */
export function Stock() {
  const blocks = useAll('block');
  const lines = useAll('line');
  const { nameOf } = useBlockNames();
  const [look, setLook] = useState<'lines' | 'hues' | 'boxes'>('lines');
  const [opened, setOpened] = useState<string | undefined>();
  const [editing, setEditing] = useState<RecordOf<'line'> | undefined>();
  const stock = useOnHand();
  const pairs = useRawBakedPairs();
  if (blocks.isPending) return <JobProgress what="Loading stock" />;
  if (blocks.records.length === 0) {
    return (
      <EmptyState
        whole
        title="No blocks yet"
        actions={
          <Link className="button" data-kind="main" to="/">
            Add your blocks
          </Link>
        }
      >
        Add your blocks from a photo, or choose their colours by eye.
      </EmptyState>
    );
  }
  const low = blocks.records.filter(({ id }) => runsLow(stock?.get(id)));
  const counted = blocks.records.filter(({ id }) => stock?.has(id)).length;
  const block = opened === undefined ? undefined : blocks.byId.get(opened);
  return (
    <div className="screen">
      <header>
        <h1>Stock</h1>
        <p className="soft">
          {counted === 0
            ? 'Open a block and enter how much you have. Kneadwell then warns when it runs low.'
            : low.length === 0
              ? 'Nothing is running low.'
              : `Running low: ${low.map(({ id }) => nameOf(id)).join(', ')}.`}
        </p>
      </header>
      <div className="actions">
        <Choice
          label="View"
          value={look}
          onChange={setLook}
          options={[
            ['lines', 'By line'],
            ['hues', 'Compare lines by hue'],
            ['boxes', 'Boxes'],
          ]}
        />
        <Link className="button" to="/">
          Add blocks
        </Link>
        <Link to="/colour-range">Colour range</Link>
      </div>
      {look === 'lines'
        ? lines.records.map((line) => (
            <Part key={line.id} title={line.body.name} look="stock-line">
              <div className="stack">
                <LinePackage line={line} />
                <LineOven name={line.body.name} pairs={pairs.get(line.id) ?? []} />
                <div className="actions">
                  <Button
                    kind="quiet"
                    aria-label={`Edit line ${line.body.name}`}
                    onPress={() => setEditing(line)}
                  >
                    Edit line
                  </Button>
                </div>
              </div>
              <LineBlocks
                blocks={blocks.records
                  .filter(({ body }) => body.lineId === line.id)
                  .toSorted(byCodeOrName)}
                onOpen={setOpened}
              />
            </Part>
          ))
        : null}
      {look === 'hues' ? <HueByHue onOpen={setOpened} /> : null}
      {look === 'boxes' ? <Boxes /> : null}
      {block === undefined ? null : (
        <BlockDialog
          block={block}
          onHand={stock?.get(block.id)}
          onClose={() => setOpened(undefined)}
        />
      )}
      {editing === undefined ? null : (
        <EditLine line={editing} onClose={() => setEditing(undefined)} />
      )}
    </div>
  );
}

/** By the code on the package, where there is one; 9 before 10. */
function byCodeOrName({ body: one }: RecordOf<'block'>, { body: other }: RecordOf<'block'>) {
  return (one.code ?? one.name).localeCompare(other.code ?? other.name, 'en', { numeric: true });
}

/** Blocks of a line as tiles; each opens its dialog. */
function LineBlocks({
  blocks,
  onOpen,
}: {
  readonly blocks: readonly RecordOf<'block'>[];
  readonly onOpen: (id: string) => void;
}) {
  const colours = useColours();
  const units = useUnits();
  const stock = useOnHand();
  return (
    <ul className="bench swatches">
      {blocks.map(({ id, body }) => (
        <li key={id} className="stock-cell">
          <button type="button" onClick={() => onOpen(id)}>
            <Tile
              lab={colours.of(id)?.lab}
              name={[body.code, body.name].filter(Boolean).join(' ')}
            />
            <span>
              {body.code === undefined ? null : <span className="code">{body.code} </span>}
              <span className="sample-name">{body.name}</span>
            </span>
            <span className="small soft">
              {amountInWords(stock?.get(id), units)}
              {body.status === 'discontinued' ? ', discontinued' : ''}
            </span>
          </button>
          <Unshown lab={colours.of(id)?.lab} />
        </li>
      ))}
    </ul>
  );
}
