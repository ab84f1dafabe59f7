import { useState } from 'react';
import { purchaseSteps } from '../../../domain/changes/record-purchase.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { changeBook, newId } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Field } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
import { Tick } from '../../parts/tick.tsx';
import { count } from '../start.tsx';
import { moneyFrom, moneyInWords } from './money.ts';

const FIRST_CURRENCY = 'EUR';

/** What was bought of a block, lot by lot, and a new purchase. */
export function Purchases({ block }: { readonly block: RecordOf<'block'> }) {
  const lots = useAll('purchase').records.filter(({ body }) => body.of.id === block.id);
  const [adding, setAdding] = useState(false);
  const newest = lots.toSorted((one, other) =>
    (one.body.boughtOn ?? '') < (other.body.boughtOn ?? '') ? 1 : -1,
  );
  return (
    <section className="stack" aria-label="Purchases">
      <h3>Purchases</h3>
      {newest.length === 0 ? <p className="soft">None is written down.</p> : null}
      <ul className="history">
        {newest.map(({ id, body }) => (
          <li key={id}>
            <span>
              {body.boughtOn ?? 'date unknown'}
              {body.packages === undefined ? '' : `, ${count(body.packages, 'package')}`}
              {body.price === undefined ? '' : `, ${moneyInWords(body.price)}`}
              {body.lotNumber === undefined ? '' : `, lot ${body.lotNumber}`}
              {body.reformulated ? ', mixes otherwise than before' : ''}
            </span>
          </li>
        ))}
      </ul>
      {adding ? (
        <AddPurchase block={block} onDone={() => setAdding(false)} />
      ) : (
        <div className="actions">
          <Button onPress={() => setAdding(true)}>Write down a purchase</Button>
        </div>
      )}
    </section>
  );
}

function AddPurchase({
  block,
  onDone,
}: {
  readonly block: RecordOf<'block'>;
  readonly onDone: () => void;
}) {
  const units = useUnits();
  const currency =
    useAll('settings').records[0]?.body.currency ?? block.body.price?.currency ?? FIRST_CURRENCY;
  const [on, setOn] = useState(() => new Date().toISOString().slice(0, 10));
  const [packages, setPackages] = useState('1');
  const [price, setPrice] = useState('');
  const [lotNumber, setLotNumber] = useState('');
  const [reformulated, setReformulated] = useState(false);
  const { packageG } = block.body;
  const keep = async () => {
    const n = Number(packages.replace(',', '.'));
    if (!(n > 0 && n <= 10_000)) return 'How many packages? A number such as 2.';
    if (!/^\d{4}-\d{2}-\d{2}$/.test(on)) return 'On which day?';
    const paid = price.trim() === '' ? undefined : moneyFrom(price, currency);
    if (price.trim() !== '' && paid === undefined) return 'A price such as 4.10, or nothing.';
    const steps = purchaseSteps({
      block,
      purchase: {
        boughtOn: on,
        packages: n,
        reformulated,
        ...(paid === undefined ? {} : { price: paid }),
        ...(lotNumber.trim() === '' ? {} : { lotNumber: lotNumber.trim() }),
      },
      newId,
    });
    await changeBook(`Bought ${count(n, 'package')} of ${block.body.name}`, steps);
    return undefined;
  };
  return (
    <SaveForm keep={keep} onDone={onDone} keepWords="Save purchase">
      <div className="two">
        <Field label="Bought on" value={on} onChange={setOn} placeholder="2026-01-31" />
        <Field
          label="Packages"
          value={packages}
          onChange={setPackages}
          inputMode="decimal"
          help={
            packageG === undefined
              ? 'What a package weighs is not written down, so the stock is not changed.'
              : `${massInWords(packageG, units)} each go into the stock.`
          }
        />
        <Field
          label={`Paid for all, ${currency}`}
          value={price}
          onChange={setPrice}
          inputMode="decimal"
        />
        <Field label="Lot number" value={lotNumber} onChange={setLotNumber} />
      </div>
      <Tick isSelected={reformulated} onChange={setReformulated}>
        This batch looks or mixes differently
      </Tick>
    </SaveForm>
  );
}
