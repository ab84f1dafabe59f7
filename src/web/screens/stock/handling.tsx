import { useState } from 'react';
import { Group } from 'react-aria-components';
import { make } from '../../../domain/changes/steps.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { Field } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
import { Tick } from '../../parts/tick.tsx';
import { HandlingNotes } from '../mix/bake-notes.tsx';

type Body = BodyOf<'note'>;
const FEELS: Body['feels'] = ['soft', 'sticky', 'stiff', 'crumbly', 'brittle', 'rubbery'];
const DONE: readonly Body['done'][number]['what'][] = [
  'rested',
  'chilled',
  'leached',
  'warmed',
  'softened',
  'conditioned',
];

/** What is handled: a block, or a mix of several. */
interface Handled {
  readonly kind: 'block' | 'mix';
  readonly id: string;
  readonly name: string;
}

/** How a clay handles, as the user noted, and the form for a new note. */
export function Handling({ of }: { readonly of: Handled }) {
  const [adding, setAdding] = useState(false);
  return (
    <>
      <HandlingNotes of={[of]} />
      {adding ? (
        <AddNote of={of} onDone={() => setAdding(false)} />
      ) : (
        <div className="actions">
          <Button onPress={() => setAdding(true)}>Add a note</Button>
        </div>
      )}
    </>
  );
}

const HELPED = [
  ['unknown', 'Not known yet'],
  ['yes', 'It helped'],
  ['no', 'It did not'],
] as const;

function AddNote({ of, onDone }: { readonly of: Handled; readonly onDone: () => void }) {
  const [feels, setFeels] = useState<Body['feels']>([]);
  const [done, setDone] = useState<readonly Body['done'][number]['what'][]>([]);
  const [hours, setHours] = useState('');
  const [helped, setHelped] = useState<(typeof HELPED)[number][0]>('unknown');
  const [text, setText] = useState('');
  const keep = async () => {
    if (feels.length + done.length === 0 && text.trim() === '') return 'Say how it handled.';
    const long = Number(hours.trim().replace(',', '.'));
    if (hours.trim() !== '' && !(long >= 0 && long <= 160)) return 'Type the hours of rest.';
    const body: Body = {
      of: { kind: of.kind, id: of.id },
      on: new Date().toISOString().slice(0, 10),
      feels,
      done: done.map((what) => ({
        what,
        ...(what === 'rested' && hours.trim() !== '' ? { minutes: Math.round(60 * long) } : {}),
        ...(helped === 'unknown' ? {} : { helped: helped === 'yes' }),
      })),
      ...(text.trim() === '' ? {} : { text: text.trim() }),
    };
    await sendChange(`Added a note on ${of.name}`, [make('note', body)]);
    return undefined;
  };
  return (
    <SaveForm keep={keep} onDone={onDone} keepWords="Save note">
      <Ticks label="It felt" all={FEELS} chosen={feels} onChange={setFeels} />
      <Ticks label="You" all={DONE} chosen={done} onChange={setDone} />
      {done.includes('rested') ? (
        <Field label="Hours of rest" value={hours} onChange={setHours} inputMode="decimal" />
      ) : null}
      {done.length === 0 ? null : (
        <Choice
          label="Did it help?"
          isLabelled
          value={helped}
          onChange={setHelped}
          options={HELPED}
        />
      )}
      <Field label="Note" value={text} onChange={setText} rows={2} />
    </SaveForm>
  );
}

function Ticks<T extends string>({
  label,
  all,
  chosen,
  onChange,
}: {
  readonly label: string;
  readonly all: readonly T[];
  readonly chosen: readonly T[];
  readonly onChange: (chosen: readonly T[]) => void;
}) {
  return (
    <Group className="actions" aria-label={label}>
      <span className="field-label">{label}</span>
      {all.map((one) => (
        <Tick
          key={one}
          isSelected={chosen.includes(one)}
          onChange={(on) =>
            onChange(on ? [...chosen, one] : chosen.filter((before) => before !== one))
          }
        >
          {one}
        </Tick>
      ))}
    </Group>
  );
}
