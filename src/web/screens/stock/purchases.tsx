import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { purchaseSteps } from '../../../domain/changes/record-purchase.ts';
import { moneyFrom } from '../../../domain/money.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { newId, sendChange } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { massInWords, useUnits } from '../../book/units.ts';
import { dayInWords } from '../../book/when-in-words.ts';
import { Button } from '../../parts/button.tsx';
import { Field } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
import { Tick } from '../../parts/tick.tsx';
import { count } from '../count.ts';
import { moneyInWords } from './money.ts';

const FIRST_CURRENCY = 'EUR';

/** The purchases of a block, and the form for a new one. */
export function Purchases({ block }: { readonly block: RecordOf<'block'> }) {
  const purchases = useAll('purchase').records.filter(({ body }) => body.of.id === block.id);
  const [adding, setAdding] = useState(false);
  const newest = purchases.toSorted((one, other) =>
    (one.body.boughtOn ?? '') < (other.body.boughtOn ?? '') ? 1 : -1,
  );
  return (
    <section className="stack" aria-label="Purchases">
      <h3>Purchases</h3>
      {newest.length === 0 ? <p className="soft">No purchases yet.</p> : null}
      <ul className="history">
        {newest.map(({ id, body }) => (
          <li key={id}>
            <span>
              {body.boughtOn === undefined ? 'date unknown' : dayInWords(body.boughtOn)}
              {body.packages === undefined ? '' : `, ${count(body.packages, 'package')}`}
              {body.price === undefined ? '' : `, ${moneyInWords(body.price)}`}
              {body.lotNumber === undefined ? '' : `, lot ${body.lotNumber}`}
              {body.reformulated ? ', looks or mixes differently: ' : ''}
              {body.reformulated ? (
                <Link to="/new-lot" search={{ block: block.id }}>
                  which mixes change?
                </Link>
              ) : null}
            </span>
          </li>
        ))}
      </ul>
      {adding ? (
        <AddPurchase block={block} onDone={() => setAdding(false)} />
      ) : (
        <div className="actions">
          <Button onPress={() => setAdding(true)}>Add a purchase</Button>
          <Link className="button" to="/new-lot" search={{ block: block.id }}>
            A new lot looks different
          </Link>
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
    if (!(n > 0 && n <= 10_000)) return 'Type the number of packages, such as 2.';
    if (!/^\d{4}-\d{2}-\d{2}$/.test(on)) return 'Type the day like 2026-01-31.';
    const paid = price.trim() === '' ? undefined : moneyFrom(price, currency);
    if (price.trim() !== '' && paid === undefined)
      return 'Type a price such as 4.10, or leave the field empty.';
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
    await sendChange(`Bought ${count(n, 'package')} of ${block.body.name}`, steps);
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
              ? 'The package weight is not known, so the stock stays as it is.'
              : `Adds ${massInWords(packageG, units)} each to the stock.`
          }
        />
        <Field
          label={`Total price, ${currency}`}
          value={price}
          onChange={setPrice}
          inputMode="decimal"
        />
        <Field label="Lot number" value={lotNumber} onChange={setLotNumber} />
      </div>
      <Tick isSelected={reformulated} onChange={setReformulated}>
        This lot looks or mixes differently
      </Tick>
    </SaveForm>
  );
}
