import { useState } from 'react';
import { USUAL_SPARE } from '../../../core/figure/waste.ts';
import { change } from '../../../domain/changes/steps.ts';
import { moneyFrom, plainMoney } from '../../../domain/money.ts';
import type { FigurePlan } from '../../../domain/records/figure-plan.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Field } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';

const FIELDS = {
  copies: ['Figures of the edition', 1, 10_000],
  cutterMm: ['Cutter, mm across', 0.5, 200],
  sheetMm: ['Sheet, mm thick', 0.5, 200],
  spare: ['To spare, %', 0, 200],
  hours: ['Hours of work on one', 0, 10_000],
} as const satisfies Readonly<Record<string, readonly [string, number, number]>>;
type FieldName = keyof typeof FIELDS;
const NAMES = Object.keys(FIELDS) as FieldName[];

/** How the figure is made: how many, cut with what, with how much to spare, in how many hours. */
export function EditPlan({
  figure,
  plan,
  onClose,
}: {
  readonly figure: RecordOf<'figure'>;
  readonly plan: FigurePlan;
  readonly onClose: () => void;
}) {
  const currency = useAll('settings').records[0]?.body.currency ?? 'EUR';
  const [typed, setTyped] = useState<Readonly<Record<FieldName, string>>>(() => {
    const said = (value: number | undefined) => (value === undefined ? '' : String(value));
    return {
      copies: said(plan.copies),
      cutterMm: said(plan.cutterMm),
      sheetMm: said(plan.sheetMm),
      spare: said(plan.spare === undefined ? undefined : Math.round(100 * plan.spare)),
      hours: said(plan.hours),
    };
  });
  const [rate, setRate] = useState(plan.hourly === undefined ? '' : plainMoney(plan.hourly));
  const keep = async () => {
    const values = new Map<FieldName, number>();
    for (const name of NAMES) {
      const text = typed[name].trim().replace(',', '.');
      if (text === '') continue;
      const [label, least, most] = FIELDS[name];
      const value = Number(text);
      if (!(value >= least && value <= most) || (name === 'copies' && !Number.isInteger(value))) {
        return `${label}: a number from ${least} to ${most.toLocaleString('en')}, or nothing.`;
      }
      values.set(name, name === 'spare' ? value / 100 : value);
    }
    const hourly = rate.trim() === '' ? undefined : moneyFrom(rate, currency);
    if (rate.trim() !== '' && hourly === undefined) return 'Type the pay for an hour like 18.50.';
    const next: FigurePlan = {
      shapes: plan.shapes,
      ...Object.fromEntries(values),
      ...(hourly === undefined ? {} : { hourly }),
    };
    await sendChange(`Changed the plan of ${figure.body.name}`, [
      change(figure, { ...figure.body, plan: next }),
    ]);
    return undefined;
  };
  return (
    <Dialog title="Edit the plan" isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <div className="two">
          {NAMES.map((name) => (
            <Field
              key={name}
              label={FIELDS[name][0]}
              value={typed[name]}
              onChange={(text) => setTyped({ ...typed, [name]: text })}
              inputMode="decimal"
              {...(name === 'spare' ? { placeholder: String(100 * USUAL_SPARE) } : {})}
            />
          ))}
          <Field
            label={`Pay for one hour, ${currency}`}
            value={rate}
            onChange={setRate}
            inputMode="decimal"
          />
        </div>
        <p className="small">
          Without a cutter, the pieces of each batch are balls of one size, and the plan says which.
        </p>
      </SaveForm>
    </Dialog>
  );
}
