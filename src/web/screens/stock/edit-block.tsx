import { useState } from 'react';
import { change } from '../../../domain/changes/steps.ts';
import { moneyFrom, plainMoney } from '../../../domain/money.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { gFrom, massInWords, useUnits } from '../../book/units.ts';
import { Field, Pick } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
import { Tick } from '../../parts/tick.tsx';
import { CLAY_TYPES } from '../block-types.ts';

const FIRST_CURRENCY = 'EUR';

/** Edits the name, line, package weight and price of a block. */
export function EditBlock({
  block,
  onDone,
}: {
  readonly block: RecordOf<'block'>;
  readonly onDone: () => void;
}) {
  const { body } = block;
  const units = useUnits();
  const lines = useAll('line').records;
  const currency =
    useAll('settings').records[0]?.body.currency ?? body.price?.currency ?? FIRST_CURRENCY;
  const [name, setName] = useState(body.name);
  const [code, setCode] = useState(body.code ?? '');
  const [clayType, setClayType] = useState(body.clayType);
  const [lineId, setLineId] = useState(body.lineId);
  const [weight, setWeight] = useState(
    body.packageG === undefined ? '' : massInWords(body.packageG, units).replace(/[^\d.]/g, ''),
  );
  const [price, setPrice] = useState(body.price === undefined ? '' : plainMoney(body.price));
  const [gone, setGone] = useState(body.status === 'discontinued');
  const [owned, setOwned] = useState(body.status !== 'not owned');
  const keep = async () => {
    if (name.trim() === '') return 'Type the name on the package.';
    const typed = weight.trim() === '' ? undefined : Number(weight.replace(',', '.'));
    if (typed !== undefined && !(typed > 0)) return 'Type the weight of a package, such as 57.';
    const unchanged =
      typed !== undefined &&
      body.packageG !== undefined &&
      massInWords(body.packageG, units) === massInWords(gFrom(typed, units), units);
    const packageG =
      typed === undefined ? undefined : unchanged ? body.packageG! : gFrom(typed, units);
    const paid =
      price.trim() === '' ? undefined : moneyFrom(price, body.price?.currency ?? currency);
    if (price.trim() !== '' && paid === undefined)
      return 'Type a price such as 4.10, or leave the field empty.';
    const { code: _code, packageG: _g, price: _price, ...rest } = body;
    const next: BodyOf<'block'> = {
      ...rest,
      name: name.trim(),
      clayType,
      lineId,
      status: gone ? 'discontinued' : owned ? 'current' : 'not owned',
      ...(code.trim() === '' ? {} : { code: code.trim() }),
      ...(packageG === undefined ? {} : { packageG }),
      ...(paid === undefined ? {} : { price: paid }),
    };
    await sendChange(`Changed the block ${name.trim()}`, [change(block, next)]);
    return undefined;
  };
  return (
    <SaveForm keep={keep} onDone={onDone} leaveWords="Cancel">
      <div className="two">
        <Field label="Name" value={name} onChange={setName} />
        <Field label="Code on the package" value={code} onChange={setCode} />
        <Pick
          label="Line"
          value={lineId}
          onChange={setLineId}
          options={lines.map((line) => [line.id, line.body.name] as const)}
        />
        <Pick label="Type of clay" value={clayType} onChange={setClayType} options={CLAY_TYPES} />
        <Field
          label={units.mass === 'g' ? 'Package weight, grams' : 'Package weight, ounces'}
          value={weight}
          onChange={setWeight}
          inputMode="decimal"
        />
        <Field
          label={`Price per package, ${body.price?.currency ?? currency}`}
          value={price}
          onChange={setPrice}
          inputMode="decimal"
        />
      </div>
      {body.status === 'not owned' ? (
        <Tick isSelected={owned} onChange={setOwned}>
          I have this block
        </Tick>
      ) : null}
      <Tick isSelected={gone} onChange={setGone}>
        Discontinued
      </Tick>
    </SaveForm>
  );
}
