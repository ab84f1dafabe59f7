import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { change, make } from '../../../domain/changes/steps.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { useColours, useColoursOf } from '../../book/colours.ts';
import { useBlockNames } from '../../book/names.ts';
import { getMany } from '../../book/queries.ts';
import { gFrom, useUnits } from '../../book/units.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field } from '../../parts/field.tsx';
import { MixChoices } from '../../parts/mix-choices.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
import { Tile } from '../../parts/tile.tsx';

type Batch = BodyOf<'figure'>['batches'][number];

/** Writes down a figure: its name, its day, and the mixes in it. */
export function EditFigure({
  figure,
  onClose,
}: {
  readonly figure: RecordOf<'figure'> | undefined;
  readonly onClose: () => void;
}) {
  const units = useUnits();
  const body = figure?.body;
  const [name, setName] = useState(body?.name ?? '');
  const [madeOn, setMadeOn] = useState(body?.madeOn ?? '');
  const [note, setNote] = useState(body?.note ?? '');
  const [batches, setBatches] = useState<readonly Batch[]>(body?.batches ?? []);
  const [choosing, setChoosing] = useState(false);
  const nameOf = useBatchNames(batches);
  const mixes = useColoursOf(batches.map(({ of }) => of.id));
  const blocks = useColours();
  const setMass = (at: number, text: string) => {
    const value = Number(text.replace(',', '.'));
    const { massG: _, ...rest } = batches[at];
    setBatches(batches.with(at, value > 0 ? { ...rest, massG: gFrom(value, units) } : rest));
  };
  const keep = async () => {
    if (name.trim() === '') return 'Give the figure a name.';
    if (madeOn.trim() !== '' && !/^\d{4}-\d{2}-\d{2}$/.test(madeOn.trim())) {
      return 'Type the day like 2026-01-31, or leave the field empty.';
    }
    const { name: _n, madeOn: _m, note: _o, ...rest } = body ?? { bakes: [] };
    const next: BodyOf<'figure'> = {
      ...rest,
      name: name.trim(),
      batches,
      ...(madeOn.trim() === '' ? {} : { madeOn: madeOn.trim() }),
      ...(note.trim() === '' ? {} : { note: note.trim() }),
    };
    await sendChange(
      figure === undefined
        ? `Added the figure ${name.trim()}`
        : `Changed the figure ${name.trim()}`,
      [figure === undefined ? make('figure', next) : change(figure, next)],
    );
    return undefined;
  };
  return (
    <Dialog title={body?.name ?? 'A figure'} isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <div className="two">
          <Field label="Name" value={name} onChange={setName} />
          <Field label="Made on" value={madeOn} onChange={setMadeOn} placeholder="2026-01-31" />
        </div>
        <ul className="history">
          {batches.map((batch, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a mix may be in a figure twice
            <li key={i} className="batch">
              <Tile
                lab={(mixes.shown(batch.of.id) ?? blocks.of(batch.of.id))?.lab}
                name={nameOf(batch.of.id)}
              />
              <span>{nameOf(batch.of.id)}</span>
              <Field
                label={units.mass === 'g' ? 'Grams' : 'Ounces'}
                defaultValue={
                  batch.massG === undefined
                    ? ''
                    : String(Number((batch.massG / gFrom(1, units)).toFixed(2)))
                }
                onChange={(text) => setMass(i, text)}
                inputMode="decimal"
              />
              <Button
                kind="quiet"
                aria-label={`Remove ${nameOf(batch.of.id)}`}
                onPress={() => setBatches(batches.filter((_, at) => at !== i))}
              >
                Remove
              </Button>
            </li>
          ))}
        </ul>
        {choosing ? (
          <MixChoices
            onChoose={({ id }) => {
              setBatches([...batches, { of: { kind: 'mix', id } }]);
              setChoosing(false);
            }}
          />
        ) : (
          <div className="actions">
            <Button onPress={() => setChoosing(true)}>Add a mix</Button>
          </div>
        )}
        <Field label="Note" value={note} onChange={setNote} rows={2} />
      </SaveForm>
    </Dialog>
  );
}

function useBatchNames(batches: readonly Batch[]): (id: string) => string {
  const { nameOf } = useBlockNames();
  const ids = batches.flatMap(({ of }) => (of.kind === 'mix' ? [of.id] : []));
  const { data } = useQuery({
    queryKey: ['mixes', 'named', ids],
    queryFn: () => getMany(ids),
    enabled: ids.length > 0,
  });
  return (id) => {
    const record = data?.get(id);
    if (record?.kind === 'mix') return record.body.name ?? record.body.code ?? 'a mix';
    return ids.includes(id) ? 'a mix' : nameOf(id);
  };
}
