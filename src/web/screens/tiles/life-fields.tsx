import { useState } from 'react';
import { Group } from 'react-aria-components';
import type { BodyOf } from '../../../domain/records/record.ts';
import { TILE_CONDITIONS } from '../../../domain/records/tile-conditions.ts';
import { useAll } from '../../book/queries.ts';
import { useUnits } from '../../book/units.ts';
import { Field, Pick } from '../../parts/field.tsx';
import { Tick } from '../../parts/tick.tsx';

type Body = BodyOf<'tile'>;
type Bake = Body['bakes'][number];

const NO_BOX = '';

/** What happened to a tile, as it is typed; `read` gives the tile with it, or what is wrong. */
export interface LifeHere {
  readonly texts: Texts;
  readonly setText: (key: keyof Texts, text: string) => void;
  readonly condition: readonly string[];
  readonly setCondition: (condition: readonly string[]) => void;
  readonly read: () => Body | string;
}

interface Texts {
  readonly code: string;
  readonly minutes: string;
  readonly heat: string;
  readonly day: string;
  readonly finish: string;
  readonly boxId: string;
  readonly note: string;
}

export function useLifeFields(body: Body): LifeHere {
  const { temp } = useUnits();
  const last = body.bakes.at(-1);
  const heatC = last?.actualTempC ?? last?.setTempC;
  const first: Texts = {
    code: body.code ?? '',
    minutes: last === undefined ? '' : String(last.minutes),
    heat:
      heatC === undefined ? '' : String(Math.round(temp === 'C' ? heatC : (heatC * 9) / 5 + 32)),
    day: last?.day ?? '',
    finish: body.finish ?? '',
    boxId: body.boxId ?? NO_BOX,
    note: body.note ?? '',
  };
  const [texts, setTexts] = useState(first);
  const [condition, setCondition] = useState<readonly string[]>(body.condition ?? []);
  const read = () => {
    const bakes = bakesFrom(texts, first, body.bakes, temp);
    if (typeof bakes === 'string') return bakes;
    const { code: _c, finish: _f, condition: _d, boxId: _b, note: _n, ...rest } = body;
    const text = (key: 'code' | 'finish' | 'note' | 'boxId') =>
      texts[key].trim() === '' ? {} : { [key]: texts[key].trim() };
    const chosen = TILE_CONDITIONS.filter((one) => condition.includes(one));
    return {
      ...rest,
      bakes,
      ...text('code'),
      ...text('finish'),
      ...text('note'),
      ...text('boxId'),
      ...(chosen.length === 0 ? {} : { condition: chosen }),
    };
  };
  return {
    texts,
    setText: (key, text) => setTexts({ ...texts, [key]: text }),
    condition,
    setCondition,
    read,
  };
}

/** Oven, condition, box and note of a tile; every field may stay empty. */
export function LifeFields({
  fields: { texts, setText, condition, setCondition },
}: {
  readonly fields: LifeHere;
}) {
  const { temp } = useUnits();
  const boxes = useAll('box').records;
  const field = (key: keyof Texts, label: string, placeholder?: string) => (
    <Field
      label={label}
      value={texts[key]}
      onChange={(text) => setText(key, text)}
      {...(placeholder === undefined ? {} : { placeholder })}
    />
  );
  return (
    <>
      <div className="two">
        {field('code', 'Code')}
        {field('minutes', 'Minutes in the oven')}
        {field('heat', `Heat at the clay, °${temp}`)}
        {field('day', 'Baked on', '2026-01-31')}
        {field('finish', 'Finish', 'sanded')}
        {boxes.length === 0 ? null : (
          <Pick
            label="Stored in"
            value={texts.boxId}
            onChange={(id) => setText('boxId', id)}
            options={[[NO_BOX, 'no box'], ...boxes.map(({ id, body }) => [id, body.lid] as const)]}
          />
        )}
      </div>
      <Group className="actions" aria-label="Condition">
        {TILE_CONDITIONS.map((one) => (
          <Tick
            key={one}
            isSelected={condition.includes(one)}
            onChange={(on) =>
              setCondition(on ? [...condition, one] : condition.filter((was) => was !== one))
            }
          >
            {one}
          </Tick>
        ))}
      </Group>
      <Field label="Note" value={texts.note} onChange={(text) => setText('note', text)} rows={2} />
    </>
  );
}

/** The bakes with the last one as typed; what is wrong, in words. */
function bakesFrom(
  { minutes, heat, day }: Texts,
  first: Texts,
  before: readonly Bake[],
  unit: 'C' | 'F',
): readonly Bake[] | string {
  if (minutes === first.minutes && heat === first.heat && day === first.day) return before;
  if ([minutes, heat, day].every((text) => text.trim() === '')) return before.slice(0, -1);
  if (!(number(minutes) > 0)) return 'Type the minutes in the oven, such as 30.';
  if (day.trim() !== '' && !/^\d{4}-\d{2}-\d{2}$/.test(day.trim())) {
    return 'Type the day like 2026-01-31, or leave the field empty.';
  }
  const typed = heat.trim() === '' ? undefined : number(heat);
  const tempC = typed === undefined || unit === 'C' ? typed : Math.round((typed - 32) / 0.18) / 10;
  if (tempC !== undefined && !(tempC > 0 && tempC <= 400)) return 'Type the heat, such as 130.';
  const { setTempC, note } = before.at(-1) ?? {};
  const bake: Bake = {
    minutes: number(minutes),
    ...(day.trim() === '' ? {} : { day: day.trim() }),
    ...(tempC === undefined ? {} : { actualTempC: tempC }),
    ...(setTempC === undefined ? {} : { setTempC }),
    ...(note === undefined ? {} : { note }),
  };
  return [...before.slice(0, -1), bake];
}

function number(text: string): number {
  return Number(text.trim().replace(',', '.'));
}
