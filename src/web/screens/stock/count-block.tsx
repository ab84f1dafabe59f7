import { useState } from 'react';
import type { RecordOf } from '../../../contract/book/record.ts';
import { changeBook, make, wordsOf } from '../../book/change.ts';
import { gFrom, massInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { Sheet } from '../../parts/sheet.tsx';

/** One line of the stock ledger. */
export function CountBlock({ block, onClose }: { block: RecordOf<'block'>; onClose: () => void }) {
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
