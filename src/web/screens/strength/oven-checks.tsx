import { useState } from 'react';
import { AIRS, type Air } from '../../../core/oven/clay-heat.ts';
import { type OvenHabits, ovenHabits } from '../../../core/oven/oven-check.ts';
import { make } from '../../../domain/changes/steps.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { runOfOven } from '../../../verbs/packet-heat.ts';
import { sendChange, wordsOf } from '../../book/change.ts';
import { tempInWords, type Units } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Part } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';

/** The dial against the thermometer: what each oven does, and a new check. */
export function OvenChecks({
  checks,
  units,
}: {
  readonly checks: readonly RecordOf<'oven-check'>[];
  readonly units: Units;
}) {
  const [adding, setAdding] = useState(false);
  const ovens = new Map<string, RecordOf<'oven-check'>[]>();
  for (const check of checks) {
    ovens.set(check.body.name, [...(ovens.get(check.body.name) ?? []), check]);
  }
  return (
    <Part title="Your oven">
      {checks.length === 0 ? (
        <p>
          Dials are often 20 to 30 degrees wrong. Put a thermometer where the clay lies, and write
          down what it says every few minutes.
        </p>
      ) : (
        <ul className="history">
          {[...ovens].map(([name, runs]) => (
            <li key={name}>
              <span>
                <b>{name}</b>:{' '}
                {habitsInWords(ovenHabits(runs.map((one) => runOfOven(one.body).check)), units)}
              </span>
            </li>
          ))}
        </ul>
      )}
      <div className="actions">
        <Button onPress={() => setAdding(true)}>Check the oven</Button>
      </div>
      {adding ? (
        <AddCheck
          units={units}
          usual={checks.at(-1)?.body.name ?? 'Oven'}
          onClose={() => setAdding(false)}
        />
      ) : null}
    </Part>
  );
}

function habitsInWords(habits: OvenHabits, units: Units): string {
  const by = (degrees: number) =>
    `${Math.round(units.temp === 'C' ? degrees : degrees * 1.8)} °${units.temp}`;
  const { offsetC, swingC, warmUpMinutes, driftCPerYear, runs } = habits;
  const off =
    Math.round(offsetC) === 0
      ? 'as hot as its dial says'
      : `${by(Math.abs(offsetC))} ${offsetC > 0 ? 'hotter' : 'cooler'} than its dial`;
  const drift =
    driftCPerYear === undefined || Math.abs(driftCPerYear) < 1
      ? ''
      : `, drifting by ${by(Math.abs(driftCPerYear))} a year`;
  return `${off}, swings by ${by(swingC)} either way, warm after ${Math.round(warmUpMinutes)} minutes${drift} (${runs === 1 ? '1 check' : `${runs} checks`})`;
}

function AddCheck({
  units,
  usual,
  onClose,
}: {
  readonly units: Units;
  readonly usual: string;
  readonly onClose: () => void;
}) {
  const [name, setName] = useState(usual);
  const [dial, setDial] = useState('');
  const [text, setText] = useState('');
  const [air, setAir] = useState<Air>('still');
  const celsius = (value: number) =>
    units.temp === 'C' ? value : Math.round(((value - 32) * 50) / 9) / 10;
  const keep = async () => {
    if (name.trim() === '') return 'Give the oven a name.';
    const set = Number(dial.trim().replace(',', '.'));
    if (dial.trim() === '' || !(set > 0)) return 'Type what the dial was set to.';
    const readings: { minute: number; tempC: number }[] = [];
    for (const line of text
      .split('\n')
      .map((one) => one.trim())
      .filter(Boolean)) {
      const found = /^(\d+(?:[.,]\d+)?)\s*(?:min\w*)?\s*[:;\s]\s*(-?\d+(?:[.,]\d+)?)/.exec(line);
      if (found === null) return `"${line.slice(0, 40)}" is not a minute and a temperature.`;
      const [minute, temp] = [found[1], found[2]].map((one) => Number(one.replace(',', '.')));
      readings.push({ minute, tempC: celsius(temp) });
    }
    const body: BodyOf<'oven-check'> = {
      name: name.trim(),
      on: localToday(),
      air,
      setTempC: celsius(set),
      readings,
    };
    try {
      ovenHabits([runOfOven(body).check]);
    } catch (fault) {
      return wordsOf(fault);
    }
    await sendChange(`Saved the check of ${body.name}`, [make('oven-check', body)]);
    return undefined;
  };
  return (
    <Dialog title="Check the oven" isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <div className="two">
          <Field label="Oven" value={name} onChange={setName} />
          <Field
            label={`Dial, °${units.temp}`}
            value={dial}
            onChange={setDial}
            inputMode="decimal"
          />
        </div>
        <Choice
          label="Air"
          value={air}
          onChange={setAir}
          options={AIRS.map(
            (one) => [one, one === 'fan' ? 'With a fan' : 'Without a fan'] as const,
          )}
        />
        <Field
          label={`Minute and thermometer, °${units.temp}`}
          value={text}
          onChange={setText}
          rows={6}
          placeholder={`0 ${tempInWords(20, units).split(' ')[0]}\n5 ${tempInWords(90, units).split(' ')[0]}`}
          help="One reading a line, counted from when you turned the oven on; for half an hour or longer."
        />
      </SaveForm>
    </Dialog>
  );
}

/** The day where the user is, YYYY-MM-DD. */
function localToday(): string {
  const now = new Date();
  const two = (value: number) => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
