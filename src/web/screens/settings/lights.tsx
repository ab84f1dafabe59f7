import { useState } from 'react';
import type { LIGHTS } from '../../../domain/records/reading.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { Button } from '../../parts/button.tsx';
import { Field, Part } from '../../parts/field.tsx';
import { Form } from '../../parts/form.tsx';
import { Tick } from '../../parts/tick.tsx';
import { useSettings, withField } from './use-settings.ts';

/** Lights to add to daylight. Names of lights: CIE 15:2018, in everyday words. */
const OTHERS: readonly (readonly [(typeof LIGHTS)[number], string])[] = [
  ['A', 'a warm lamp (light A)'],
  ['LED-B3', 'a white LED (LED-B3)'],
  ['FL11', 'a tube lamp (FL11)'],
];

/** Lights to compare under, the currency of prices, and the stamps for tiles. */
export function Lights() {
  const { body, keep } = useSettings();
  const lights = body.lights ?? [];
  return (
    <Part title="Lights, currency and stamps">
      <fieldset className="ticks">
        <legend>Also compare colours under</legend>
        {OTHERS.map(([light, words]) => (
          <Tick
            key={light}
            isSelected={lights.includes(light)}
            onChange={(on) => {
              const next = OTHERS.map(([one]) => one).filter((one) =>
                one === light ? on : lights.includes(one),
              );
              void keep(
                'Changed the lights',
                withField(body, 'lights', next.length === 0 ? undefined : next),
              );
            }}
          >
            {words}
          </Tick>
        ))}
      </fieldset>
      <div className="two settings-two">
        <Currency key={`c${body.currency ?? ''}`} body={body} keep={keep} />
        <Stamps key={`s${wordsOfStamps(body)}`} body={body} keep={keep} />
      </div>
    </Part>
  );
}

interface OneProps {
  readonly body: BodyOf<'settings'>;
  readonly keep: (what: string, next: BodyOf<'settings'>) => Promise<void>;
}

function Currency({ body, keep }: OneProps) {
  const [text, setText] = useState(body.currency ?? '');
  const code = text.trim().toUpperCase();
  const no =
    code === '' || /^[A-Z]{3}$/.test(code) ? undefined : 'Type three letters, such as EUR or USD.';
  return (
    <Form
      className="stack"
      onSend={() => {
        if (no !== undefined) return;
        return keep(
          'Changed the currency',
          withField(body, 'currency', code === '' ? undefined : code),
        );
      }}
    >
      <Field
        label="Currency of prices"
        help="Three-letter code, e.g. EUR"
        value={text}
        onChange={setText}
        no={no}
      />
      <div className="actions">
        <Button type="submit" isDisabled={code === (body.currency ?? '') || no !== undefined}>
          Save
        </Button>
      </div>
    </Form>
  );
}

function Stamps({ body, keep }: OneProps) {
  const before = wordsOfStamps(body);
  const [text, setText] = useState(before);
  const read = stampsFrom(text);
  return (
    <Form
      className="stack"
      onSend={() => {
        if ('no' in read) return;
        return keep(
          'Changed the stamps',
          withField(body, 'stamps', read.stamps.length === 0 ? undefined : read.stamps),
        );
      }}
    >
      <Field
        label="Stamps for tiles"
        help="Separate with spaces. For a limited number: 7x2"
        value={text}
        onChange={setText}
        no={'no' in read ? read.no : undefined}
      />
      <div className="actions">
        <Button type="submit" isDisabled={text === before || 'no' in read}>
          Save
        </Button>
      </div>
    </Form>
  );
}

type Stamp = NonNullable<BodyOf<'settings'>['stamps']>[number];

function wordsOfStamps({ stamps = [] }: BodyOf<'settings'>): string {
  return stamps
    .map(({ sign, count }) => (count === undefined ? sign : `${sign}x${count}`))
    .join(' ');
}

/** "A B 7x2": a character, and how many times the user has its stamp. */
export function stampsFrom(
  text: string,
): { readonly stamps: readonly Stamp[] } | { readonly no: string } {
  const stamps: Stamp[] = [];
  for (const word of text.split(/[\s,]+/).filter(Boolean)) {
    const [, sign, times] = /^(.+?)(?:x(\d{1,4}))?$/u.exec(word)!;
    if (sign.length > 8) return { no: `“${sign}” is too long. Put spaces between the stamps.` };
    if (stamps.some((one) => one.sign === sign)) return { no: `“${sign}” is listed twice.` };
    const count = times === undefined ? undefined : Number(times);
    if (count === 0 || (count ?? 0) > 1000)
      return { no: `Type a number from 1 to 1000 after “${sign}x”.` };
    stamps.push({ sign, ...(count === undefined ? {} : { count }) });
  }
  return { stamps };
}
