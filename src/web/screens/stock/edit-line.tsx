import { useState } from 'react';
import { change } from '../../../domain/changes/steps.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { useUnits } from '../../book/units.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';

const TEMPS = [
  ['bakeLowC', 'Lowest on the package'],
  ['bakeHighC', 'Highest on the package'],
  ['neverExceedC', 'Never above'],
] as const;

/** Edits the name and baking notes of a line, or deletes the line. */
export function EditLine({
  line,
  onClose,
}: {
  readonly line: RecordOf<'line'>;
  readonly onClose: () => void;
}) {
  const { temp } = useUnits();
  const { body } = line;
  const shown = (tempC: number | undefined) =>
    tempC === undefined ? '' : String(Math.round(temp === 'C' ? tempC : (tempC * 9) / 5 + 32));
  const [name, setName] = useState(body.name);
  const [temps, setTemps] = useState(() => TEMPS.map(([key]) => shown(body[key])));
  const [minutes, setMinutes] = useState(String(body.minutesPer6Mm ?? ''));
  const keep = async () => {
    if (name.trim() === '') return 'Type the name on the packages.';
    const read = temps.map((text, i) => {
      // Rounding for display must not change the saved value.
      if (text === shown(body[TEMPS[i][0]])) return body[TEMPS[i][0]];
      if (text.trim() === '') return undefined;
      const value = Number(text.replace(',', '.'));
      return temp === 'C' ? value : Math.round(((value - 32) * 50) / 9) / 10;
    });
    if (read.some((value) => value !== undefined && !(value > 0 && value <= 400))) {
      return 'Type the temperatures from the package.';
    }
    const set = read.filter((value) => value !== undefined);
    if (set.some((value, i) => i > 0 && value < set[i - 1])) {
      return 'Check the order: lowest, then highest, then never above.';
    }
    const said = minutes.trim();
    const minutesPer6Mm = Number(said.replace(',', '.'));
    if (said !== '' && !(minutesPer6Mm > 0 && minutesPer6Mm <= 600)) {
      return 'Type the minutes from the package.';
    }
    const { bakeLowC: _l, bakeHighC: _h, neverExceedC: _n, minutesPer6Mm: _m, ...rest } = body;
    const next = { ...rest, name: name.trim() } as BodyOf<'line'>;
    const whole = Object.fromEntries(
      TEMPS.flatMap(([key], i) => (read[i] === undefined ? [] : [[key, read[i]]])),
    );
    const time = said === '' ? {} : { minutesPer6Mm };
    await sendChange(`Changed the line ${name.trim()}`, [
      change(line, { ...next, ...whole, ...time }),
    ]);
    return undefined;
  };
  const bin = () =>
    sendChange(`Deleted the line ${body.name}`, [
      { do: 'delete', id: line.id, version: line.version },
    ]);
  return (
    <Dialog title={body.name} isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose} also={['Delete line', bin]}>
        <Field label="Name of the line" value={name} onChange={setName} />
        <div className="two">
          {TEMPS.map(([key, words], i) => (
            <Field
              key={key}
              label={`${words}, °${temp}`}
              value={temps[i]}
              onChange={(text) => setTemps(temps.with(i, text))}
              inputMode="decimal"
            />
          ))}
        </div>
        <Field
          label="Minutes for each 6 mm (1/4 in)"
          value={minutes}
          onChange={setMinutes}
          inputMode="decimal"
        />
        <p className="soft small">
          Copy what your package says: it decides, and batches may differ.
        </p>
        <Cautions topic="heat" />
      </SaveForm>
    </Dialog>
  );
}
