import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { RecordOf } from '../../contract/book/record.ts';
import { client } from '../book/client.ts';
import { useColours } from '../book/colours.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import { massInWords, type Units, useUnits, volumeInWords } from '../book/units.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Part } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Sample } from '../parts/tile.tsx';
import { CountBlock } from './stock/count-block.tsx';
import { HueByHue } from './stock/hue-by-hue.tsx';
import { LinePacket } from './stock/line-packet.tsx';

/** Under this much of a block it is said to run low; less than half a small block (common practice). */
const LOW_G = 20;

interface OnHand {
  readonly grams?: number;
  readonly millilitres?: number;
}

/** What do I own, and what runs low? */
export function Stock() {
  const blocks = useAll('block');
  const lines = useAll('line');
  const containers = useAll('container');
  const colours = useColours();
  const { nameOf } = useBlockNames();
  const units = useUnits();
  const [look, setLook] = useState<'lines' | 'hues' | 'boxes'>('lines');
  const [counting, setCounting] = useState<RecordOf<'block'> | undefined>();
  const { data: stock } = useQuery({
    queryKey: ['stock'],
    queryFn: async () =>
      new Map(
        (await client.call('stock', { query: {} })).body.stock.map((one) => [
          one.of.id,
          one as OnHand,
        ]),
      ),
  });
  if (blocks.isPending) return <JobProgress what="Opening the drawer" />;
  if (blocks.records.length === 0) {
    return (
      <EmptyState
        title="The drawer is empty"
        doings={
          <Link className="button" data-kind="main" to="/">
            Show it your blocks
          </Link>
        }
      >
        Name your blocks first: from one picture of them, or by eye.
      </EmptyState>
    );
  }
  const low = blocks.records.filter(({ id }) => (stock?.get(id)?.grams ?? LOW_G) < LOW_G);
  return (
    <div className="screen">
      <header>
        <h1>Stock</h1>
        <p className="soft">
          {low.length === 0
            ? 'Nothing that was counted runs low.'
            : `Runs low: ${low.map(({ id }) => nameOf(id)).join(', ')}.`}
        </p>
      </header>
      <div className="doings">
        <Choice
          label="Order of the blocks"
          value={look}
          onChange={setLook}
          options={[
            ['lines', 'By line'],
            ['hues', 'Lines side by side'],
            ['boxes', 'Boxes'],
          ]}
        />
        <Link className="button" to="/">
          Add blocks
        </Link>
      </div>
      {look === 'lines'
        ? lines.records.map((line) => (
            <Part key={line.id} title={line.body.name}>
              <LinePacket line={line} />
              <div className="bench swatches">
                {blocks.records
                  .filter(({ body }) => body.lineId === line.id)
                  .map((block) => (
                    <Sample
                      key={block.id}
                      lab={colours.of(block.id)?.lab}
                      name={block.body.name}
                      code={block.body.code}
                    >
                      <span className="small soft">
                        {amountInWords(stock?.get(block.id), units)}
                        {block.body.status === 'discontinued' ? ', discontinued' : ''}
                      </span>
                      <Button
                        kind="quiet"
                        aria-label={`Count ${block.body.name}`}
                        onPress={() => setCounting(block)}
                      >
                        Count
                      </Button>
                    </Sample>
                  ))}
              </div>
            </Part>
          ))
        : null}
      {look === 'hues' ? <HueByHue /> : null}
      {look === 'boxes' ? (
        containers.records.length === 0 ? (
          <EmptyState title="No box is written down">
            A box has what stands on its lid, and what lies in it. Mixes and tiles can say in which
            box they are.
          </EmptyState>
        ) : (
          <ul className="history">
            {containers.records.map(({ id, body }) => (
              <li key={id}>
                <span>
                  <b>{body.lid}</b> <span className="soft">{body.place ?? ''}</span>
                </span>
                <span>{body.holds.length} inside</span>
              </li>
            ))}
          </ul>
        )
      ) : null}
      {counting === undefined ? null : (
        <CountBlock block={counting} onClose={() => setCounting(undefined)} />
      )}
    </div>
  );
}

function amountInWords(one: OnHand | undefined, units: Units): string {
  if (one === undefined) return 'not counted';
  const said = [
    one.grams === undefined ? '' : massInWords(one.grams, units),
    one.millilitres === undefined ? '' : volumeInWords(one.millilitres, units),
  ].filter(Boolean);
  return said.join(', ') || 'not counted';
}
