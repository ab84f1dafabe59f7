import { useState } from 'react';
import { make } from '../../../domain/changes/steps.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { Button } from '../../parts/button.tsx';
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

/** How a clay handles, as the user noted, and the form for a new note. */
export function Handling({ block }: { readonly block: RecordOf<'block'> }) {
  const [adding, setAdding] = useState(false);
  return (
    <section className="stack" aria-label="Handling">
      <h3>Handling</h3>
      <HandlingNotes of={[{ id: block.id, name: block.body.name }]} />
      {adding ? (
        <AddNote block={block} onDone={() => setAdding(false)} />
      ) : (
        <div className="actions">
          <Button onPress={() => setAdding(true)}>Add a note</Button>
        </div>
      )}
    </section>
  );
}

function AddNote({
  block,
  onDone,
}: {
  readonly block: RecordOf<'block'>;
  readonly onDone: () => void;
}) {
  const [feels, setFeels] = useState<Body['feels']>([]);
  const [done, setDone] = useState<readonly Body['done'][number]['what'][]>([]);
  const [text, setText] = useState('');
  const keep = async () => {
    if (feels.length + done.length === 0 && text.trim() === '') return 'Say how it handled.';
    const body: Body = {
      of: { kind: 'block', id: block.id },
      on: new Date().toISOString().slice(0, 10),
      feels,
      done: done.map((what) => ({ what })),
      ...(text.trim() === '' ? {} : { text: text.trim() }),
    };
    await sendChange(`Added a note on ${block.body.name}`, [make('note', body)]);
    return undefined;
  };
  return (
    <SaveForm keep={keep} onDone={onDone} keepWords="Save note">
      <Ticks label="It felt" all={FEELS} chosen={feels} onChange={setFeels} />
      <Ticks label="You" all={DONE} chosen={done} onChange={setDone} />
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
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a row everywhere
    <div className="actions" role="group" aria-label={label}>
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
    </div>
  );
}
