import { useState } from 'react';
import { make } from '../../../domain/changes/steps.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { changeBook, wordsOf } from '../../book/change.ts';
import { gFrom, massInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { Form } from '../../parts/form.tsx';

/** Adds one stock entry: counted, added, used or thrown away. */
export function CountForm({ block }: { readonly block: RecordOf<'block'> }) {
  const units = useUnits();
  const [amount, setAmount] = useState('');
  const [way, setWay] = useState<'counted' | 'got' | 'used' | 'lost'>('counted');
  const [no, setNo] = useState<string | undefined>();
  const save = async () => {
    const massG = gFrom(Number(amount.replace(',', '.')), units);
    if (!(massG >= 0) || amount.trim() === '') return setNo('Type an amount such as 56.');
    const on = new Date().toISOString().slice(0, 10);
    const of = { kind: 'block' as const, id: block.id };
    const words = { counted: 'Counted', got: 'Added', used: 'Used', lost: 'Threw away' }[way];
    const less = way === 'used' || way === 'lost';
    try {
      await changeBook(`${words} ${massInWords(massG, units)} of ${block.body.name}`, [
        make(
          'stock-entry',
          way === 'counted'
            ? { of, on, why: 'counted', foundG: massG }
            : { of, on, why: way, changeG: less ? -massG : massG },
        ),
      ]);
      setAmount('');
      setNo(undefined);
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Form className="stack" onSend={save}>
      <div className="two">
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
          label={units.mass === 'g' ? 'Grams' : 'Ounces'}
          value={amount}
          onChange={setAmount}
          inputMode="decimal"
          no={no}
        />
      </div>
      <div className="actions">
        <Button type="submit">Save</Button>
      </div>
    </Form>
  );
}
