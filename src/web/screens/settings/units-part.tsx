import { useState } from 'react';
import { Button } from '../../parts/button.tsx';
import { Field, Part, Pick } from '../../parts/field.tsx';
import { Form } from '../../parts/form.tsx';
import { useSettings } from './use-settings.ts';

/** Units, and the name of the studio. */
export function UnitsPart() {
  const { body, keep } = useSettings();
  const [studio, setStudio] = useState<string | undefined>();
  const unit = <K extends keyof typeof body.units>(key: K, value: (typeof body.units)[K]) =>
    void keep('Changed the units', { ...body, units: { ...body.units, [key]: value } });
  return (
    <Part title="Units">
      <div className="form">
        <div className="two">
          <Pick
            label="Length"
            value={body.units.length}
            onChange={(v) => unit('length', v)}
            options={[
              ['mm', 'mm'],
              ['in', 'inches'],
            ]}
          />
          <Pick
            label="Weight"
            value={body.units.mass}
            onChange={(v) => unit('mass', v)}
            options={[
              ['g', 'grams'],
              ['oz', 'ounces'],
            ]}
          />
          <Pick
            label="Oven"
            value={body.units.temp}
            onChange={(v) => unit('temp', v)}
            options={[
              ['C', '°C'],
              ['F', '°F'],
            ]}
          />
          <Pick
            label="Volume"
            value={body.units.volume}
            onChange={(v) => unit('volume', v)}
            options={[
              ['ml', 'ml'],
              ['fl oz', 'fl oz'],
            ]}
          />
        </div>
        <Form
          className="stack"
          onSend={() => {
            const { studio: _, ...rest } = body;
            const name = (studio ?? '').trim();
            return keep('Named the studio', { ...rest, ...(name === '' ? {} : { studio: name }) });
          }}
        >
          <Field
            label="Name of the studio"
            value={studio ?? body.studio ?? ''}
            onChange={setStudio}
          />
          <div className="actions">
            <Button
              type="submit"
              isDisabled={studio === undefined || studio === (body.studio ?? '')}
            >
              Save
            </Button>
          </div>
        </Form>
      </div>
    </Part>
  );
}
