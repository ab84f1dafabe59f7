import { useState } from 'react';
import { readSpecimen } from '../../../core/strength/specimen.ts';
import { ACTIONS, type Action, actionsOf, strainOf } from '../../../core/strength/strain.ts';
import { make } from '../../../domain/changes/steps.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { Counter } from '../../parts/counter.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';

/** Shares of the strong line in a planned set: common practice, no source. */
const PLANNED_SHARES = [1, 0.5, 0.25, 0.12, 0] as const;
/** Common practice, no source. */
const USUAL_STRIP = 'strip 1.5 x 10 x 60 mm';

const AMOUNT_WORDS: Readonly<Record<string, string>> = {
  rod: 'Thickness of the rod, mm',
  turns: 'Turns',
  stretch: 'Stretch, mm',
  push: 'Push, mm',
};

/** Plans a set of bend tests of two lines: every strip of every share, still to do. */
export function PlanSet({
  lines,
  onDone,
  onClose,
}: {
  readonly lines: readonly RecordOf<'line'>[];
  readonly onDone: (set: string) => void;
  readonly onClose: () => void;
}) {
  const [strong, setStrong] = useState(lines[0]?.id ?? '');
  const [other, setOther] = useState(lines[1]?.id ?? '');
  const [shape, setShape] = useState(USUAL_STRIP);
  const [action, setAction] = useState<Action>('ends together');
  const [amount, setAmount] = useState('');
  const [each, setEach] = useState(3);
  const [bakeName, setBakeName] = useState('');
  const nameOf = (id: string) => lines.find((line) => line.id === id)?.body.name ?? '';
  const needs = (ACTIONS[action] as { readonly amount?: string }).amount;
  const options = lines.map(({ id, body }) => [id, body.name] as const);
  const keep = async () => {
    if (strong === other) return 'Choose two different lines.';
    const far = needs === undefined ? undefined : Number(amount.replace(',', '.'));
    let specimen: BodyOf<'bend-test'>['specimen'];
    try {
      specimen = readSpecimen(shape);
      strainOf(specimen, action, far);
    } catch (fault) {
      return wordsOf(fault);
    }
    const bake = bakeName.trim();
    const set = [`${nameOf(strong)} in ${nameOf(other)}`, bake].filter(Boolean).join(', ');
    const steps = PLANNED_SHARES.flatMap((strongShare) =>
      Array.from({ length: each }, (_, i) =>
        make('bend-test', {
          set,
          number: i + 1,
          strongLineId: strong,
          otherLineId: other,
          strongShare,
          specimen,
          action,
          ...(far === undefined ? {} : { amount: far }),
          ...(bake === '' ? {} : { bakeName: bake }),
        }),
      ),
    );
    await sendChange(`Planned the bend tests ${set}`, steps);
    onDone(set);
    return undefined;
  };
  return (
    <Dialog title="Plan bend tests" isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose} keepWords="Plan them">
        <div className="two">
          <Pick label="Strong line" value={strong} onChange={setStrong} options={options} />
          <Pick label="Mixed with" value={other} onChange={setOther} options={options} />
        </div>
        <Field
          label="Shape of each"
          value={shape}
          onChange={setShape}
          help="Shape, then thickness x width x length in mm. Cut all with one cutter."
        />
        <div className="two">
          <Pick
            label="How you bend"
            value={action}
            onChange={setAction}
            options={actionsOf('strip').map((one) => [one, one] as const)}
          />
          {needs === undefined ? null : (
            <Field
              label={AMOUNT_WORDS[needs] ?? needs}
              value={amount}
              onChange={setAmount}
              inputMode="decimal"
            />
          )}
        </div>
        <Counter label="Strips of each share" value={each} least={1} most={6} onChange={setEach} />
        <Field
          label="Name of the bake"
          value={bakeName}
          onChange={setBakeName}
          help="Every bake differs a little: give each a name, such as its day."
        />
        <p className="soft small">
          Cut {each * PLANNED_SHARES.length} strips: {each} each of{' '}
          {PLANNED_SHARES.map((share) => Math.round(100 * share)).join(', ')} % of the strong line.
          Bend them 24 hours after the bake, all at the same speed.
        </p>
      </SaveForm>
    </Dialog>
  );
}
