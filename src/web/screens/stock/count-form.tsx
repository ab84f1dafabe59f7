import { useState } from 'react';
import { Group } from 'react-aria-components';
import { USUAL_DENSITY } from '../../../core/mixes/mix-graph.ts';
import { amountAt } from '../../../core/notation/amount.ts';
import { numberFromRational } from '../../../core/numeric/rational.ts';
import { make } from '../../../domain/changes/steps.ts';
import { densityOfBlock } from '../../../domain/clay-of-block.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { gFrom, massInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { Form } from '../../parts/form.tsx';
import { gramsOfPiece } from './grams-of-piece.ts';

type Way = 'counted' | 'got' | 'used' | 'lost';

const QUARTERS = [
  [0, 'None'],
  [0.25, '¼'],
  [0.5, '½'],
  [0.75, '¾'],
  [1, '1 block'],
] as const;

/** A block that is used up counts 0, which is no amount of a recipe. */
const NOTHING = /^\s*0+(?:[.,]0*)?\s*$/;

interface Unit {
  readonly key: string;
  readonly words: string;
  readonly grams: number;
}

/**
 * Adds one stock entry: counted, added, used or thrown away; in grams, in packages and fractions of
 * them, or in pieces of a cutter.
 */
export function CountForm({ block }: { readonly block: RecordOf<'block'> }) {
  const units = useUnits();
  const ways = useUnitsOf(block);
  const [amount, setAmount] = useState('');
  const [unit, setUnit] = useState('mass');
  const [way, setWay] = useState<Way>('counted');
  const [no, setNo] = useState<string | undefined>();
  const { packageG, name } = block.body;
  const put = async (massG: number, kind: Way) => {
    const on = new Date().toISOString().slice(0, 10);
    const of = { kind: 'block' as const, id: block.id };
    const words = { counted: 'Counted', got: 'Added', used: 'Used', lost: 'Threw away' }[kind];
    const less = kind === 'used' || kind === 'lost';
    const entry: BodyOf<'stock-entry'> =
      kind === 'counted'
        ? { of, on, why: 'counted', foundG: massG }
        : { of, on, why: kind, changeG: less ? -massG : massG };
    try {
      await sendChange(`${words} ${massInWords(massG, units)} of ${name}`, [
        make('stock-entry', entry),
      ]);
      setAmount('');
      setNo(undefined);
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  const save = async () => {
    const each = ways.find(({ key }) => key === unit) ?? ways[0];
    const count = way === 'counted' && NOTHING.test(amount) ? 0 : amountFrom(amount);
    if (count === undefined) return setNo('Type an amount such as 56, ½ or 1 1/2.');
    await put(count * each.grams, way);
  };
  return (
    <Form className="stack" onSend={save}>
      {packageG === undefined ? null : (
        <Group className="quarters" aria-label="What is left">
          <span className="field-label">What is left?</span>
          {QUARTERS.map(([share, words]) => (
            <Button key={words} onPress={() => put(share * packageG, 'counted')}>
              {words}
            </Button>
          ))}
        </Group>
      )}
      <div className="count-line">
        <Pick
          label="Update the amount"
          value={way}
          onChange={setWay}
          options={[
            ['counted', 'I counted'],
            ['got', 'I added'],
            ['used', 'I used'],
            ['lost', 'I threw away'],
          ]}
        />
        <Field
          label={ways.length > 1 ? 'How much' : ways[0].words}
          value={amount}
          onChange={setAmount}
          no={no}
        />
        {ways.length < 2 ? null : (
          <Pick
            label="Unit"
            value={unit}
            onChange={setUnit}
            options={ways.map(({ key, words }) => [key, words] as const)}
          />
        )}
        <Button type="submit">Save</Button>
      </div>
    </Form>
  );
}

/** In what this block can be counted, and the grams of one. */
function useUnitsOf(block: RecordOf<'block'>): readonly Unit[] {
  const units = useUnits();
  const line = useAll('line').byId.get(block.body.lineId);
  const cutters = useAll('settings').records[0]?.body.cutters ?? [];
  const { packageG } = block.body;
  const density = densityOfBlock(block.body, line?.body).density ?? USUAL_DENSITY;
  return [
    { key: 'mass', words: units.mass === 'g' ? 'Grams' : 'Ounces', grams: gFrom(1, units) },
    ...(packageG === undefined ? [] : [{ key: 'package', words: 'Blocks', grams: packageG }]),
    ...cutters.map(({ name, volumeMm3 }) => ({
      key: `cutter ${name}`,
      words: `Pieces of the cutter “${name}”`,
      grams: gramsOfPiece(volumeMm3, density.value),
    })),
  ];
}

/** "56", "12,5", "½", "1 1/2"; undefined where the text is no amount. */
function amountFrom(text: string): number | undefined {
  const read = amountAt(text.trim(), 0);
  if (read === undefined || read.problem !== undefined || read.percent) return undefined;
  return read.length === text.trim().length ? numberFromRational(read.value) : undefined;
}
