import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { RecordOf } from '../../contract/book/record.ts';
import { lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { sideInWords, sidesOf } from '../../core/recipe/verdict.ts';
import { changeBook, make, wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { useColours } from '../book/colours.ts';
import { useBlockNames } from '../book/names.ts';
import { useAll } from '../book/queries.ts';
import {
  gFrom,
  massInWords,
  tempInWords,
  type Units,
  useUnits,
  volumeInWords,
} from '../book/units.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { EmptyState } from '../parts/empty-state.tsx';
import { Field, Part, Pick } from '../parts/field.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { Sample } from '../parts/tile.tsx';

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

function LinePacket({ line }: { line: RecordOf<'line'> }) {
  const units = useUnits();
  const { bakeLowC, bakeHighC, neverExceedC } = line.body;
  if (bakeLowC === undefined && bakeHighC === undefined && neverExceedC === undefined) return null;
  return (
    <p className="soft small">
      Its packet says{' '}
      {bakeLowC === undefined || bakeHighC === undefined
        ? ''
        : `${tempInWords(bakeLowC, units)} to ${tempInWords(bakeHighC, units)}`}
      {neverExceedC === undefined
        ? ''
        : `, never above ${tempInWords(neverExceedC, units)} at the clay`}
      . The label in your hand decides; dials are often wrong, so trust a thermometer beside the
      clay.
    </p>
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

function CountBlock({ block, onClose }: { block: RecordOf<'block'>; onClose: () => void }) {
  const units = useUnits();
  const [grams, setGrams] = useState('');
  const [way, setWay] = useState<'counted' | 'bought' | 'used'>('counted');
  const [no, setNo] = useState<string | undefined>();
  const keep = async () => {
    const massG = gFrom(Number(grams.replace(',', '.')), units);
    if (!(massG >= 0) || grams.trim() === '') return setNo('How much? A number such as 56.');
    const on = new Date().toISOString().slice(0, 10);
    const of = { kind: 'block' as const, id: block.id };
    const words = { counted: 'Counted', bought: 'Bought', used: 'Used' }[way];
    try {
      await changeBook(`${words} ${massInWords(massG, units)} of ${block.body.name}`, [
        make(
          'movement',
          way === 'counted'
            ? { of, on, why: 'counted', foundG: massG }
            : { of, on, why: way, changeG: way === 'used' ? -massG : massG },
        ),
      ]);
      onClose();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Sheet title={block.body.name} isOpen onClose={onClose}>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        <Pick
          label="What happened"
          value={way}
          onChange={setWay}
          options={[
            ['counted', 'this is what is there'],
            ['bought', 'this came in'],
            ['used', 'this was used'],
          ]}
        />
        <Field
          label={units.mass === 'g' ? 'Grams' : 'Ounces'}
          value={grams}
          onChange={setGrams}
          inputMode="decimal"
          no={no}
          autoFocus
        />
        <div className="doings">
          <Button kind="main" type="submit">
            Write it down
          </Button>
          <Button kind="quiet" onPress={onClose}>
            Not now
          </Button>
        </div>
      </form>
    </Sheet>
  );
}

/** Tenths of the hue circle, and greys apart. */
const SECTORS = 10;
const GREY_CHROMA = 8;

/** Lines beside each other, hue by hue: where one is lighter or duller, and what nobody has. */
function HueByHue() {
  const blocks = useAll('block');
  const lines = useAll('line');
  const colours = useColours();
  const sectorOf = (lab: Lab) => {
    const [, chroma, hue] = lchFromLab(lab);
    return chroma < GREY_CHROMA ? SECTORS : Math.floor((hue / 360) * SECTORS) % SECTORS;
  };
  const coloured = blocks.records.flatMap(({ id, body }) => {
    const lab = colours.of(id)?.lab;
    return lab === undefined ? [] : [{ id, body, lab, sector: sectorOf(lab) }];
  });
  const names = [
    'red',
    'orange',
    'yellow',
    'yellow-green',
    'green',
    'blue-green',
    'blue',
    'violet-blue',
    'violet',
    'pink',
    'white, grey, black',
  ];
  return (
    <section className="bench scroll" aria-label="Lines hue by hue">
      <table className="table">
        <thead>
          <tr>
            <th>Hue</th>
            {lines.records.map(({ id, body }) => (
              <th key={id}>{body.name}</th>
            ))}
            <th>How they differ</th>
          </tr>
        </thead>
        <tbody>
          {names.map((name, sector) => {
            const here = coloured.filter((one) => one.sector === sector);
            return (
              <tr key={name}>
                <th scope="row">{name}</th>
                {lines.records.map(({ id }) => (
                  <td key={id}>
                    <div className="hue-cell">
                      {here
                        .filter(({ body }) => body.lineId === id)
                        .map((one) => (
                          <Sample key={one.id} lab={one.lab} name={one.body.name} />
                        ))}
                    </div>
                  </td>
                ))}
                <td>
                  {here.length === 0 ? 'Nobody has one.' : differenceInWords(here, lines.records)}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

function differenceInWords(
  here: readonly {
    readonly body: { readonly lineId: string; readonly name: string };
    readonly lab: Lab;
  }[],
  lines: readonly RecordOf<'line'>[],
): string {
  const [first] = here;
  const other = here.find(({ body }) => body.lineId !== first.body.lineId);
  if (other === undefined) return '';
  const [side] = sidesOf(first.lab, other.lab);
  const lineName = lines.find(({ id }) => id === other.body.lineId)?.body.name ?? '';
  return `${lineName} ${other.body.name} is ${sideInWords(side)} than ${first.body.name}.`;
}
