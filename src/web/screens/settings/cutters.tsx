import { useState } from 'react';
import { Button } from '../../parts/button.tsx';
import { Field, Part } from '../../parts/field.tsx';
import { Form } from '../../parts/form.tsx';
import { useSettings, withField } from './use-settings.ts';

/** Cutters, so that a piece has a weight. */
export function Cutters() {
  const { body, keep } = useSettings();
  const [name, setName] = useState('');
  const [across, setAcross] = useState('');
  const [thick, setThick] = useState('');
  const [no, setNo] = useState<string | undefined>();
  const { cutters = [] } = body;
  const mm = body.units.length === 'mm' ? 1 : 25.4;
  const save = async () => {
    const [width, height] = [across, thick].map(
      (text) => mm * Number(text.trim().replace(',', '.')),
    );
    if (name.trim() === '') return setNo('Name the cutter, such as small round.');
    if (!(width > 0 && height > 0)) return setNo('Type two sizes, such as 10 and 3.');
    const volumeMm3 = (Math.PI / 4) * width ** 2 * height;
    const others = cutters.filter((one) => one.name !== name.trim());
    await keep(`Added the cutter ${name.trim()}`, {
      ...body,
      cutters: [...others, { name: name.trim(), volumeMm3 }],
    });
    setNo(undefined);
    for (const clear of [setName, setAcross, setThick]) clear('');
  };
  return (
    <Part title="Cutters">
      {cutters.length === 0 ? (
        <p className="soft">With a cutter you count clay in pieces.</p>
      ) : (
        <ul className="history">
          {cutters.map((one) => (
            <li key={one.name}>
              <span>
                {one.name}{' '}
                <span className="soft small">{(one.volumeMm3 / 1000).toFixed(2)} ml a piece</span>
              </span>
              <Button
                kind="quiet"
                aria-label={`Remove ${one.name}`}
                onPress={() =>
                  keep(
                    `Removed the cutter ${one.name}`,
                    withField(
                      body,
                      'cutters',
                      cutters.filter((other) => other.name !== one.name),
                    ),
                  )
                }
              >
                Remove
              </Button>
            </li>
          ))}
        </ul>
      )}
      <Form className="stack" onSend={save}>
        <div className="two">
          <Field label="Name of the cutter" value={name} onChange={setName} no={no} />
          <Field
            label={`Across, ${body.units.length}`}
            value={across}
            onChange={setAcross}
            inputMode="decimal"
          />
          <Field
            label={`Sheet thickness, ${body.units.length}`}
            value={thick}
            onChange={setThick}
            inputMode="decimal"
          />
        </div>
        <div className="actions">
          <Button type="submit">Add</Button>
        </div>
      </Form>
    </Part>
  );
}
