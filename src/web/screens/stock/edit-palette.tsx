import { useState } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { MATCH } from '../../../core/verdict/verdict.ts';
import { change, make } from '../../../domain/changes/steps.ts';
import type { BodyOf, RecordOf } from '../../../domain/records/record.ts';
import { AimPicker } from '../../aims/aim-picker.tsx';
import { newId, sendChange } from '../../book/change.ts';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
import { Tile } from '../../parts/tile.tsx';

type Aim = BodyOf<'palette'>['aims'][number];

/** Writes a palette: a name, and the colours wanted. */
export function EditPalette({
  palette,
  onClose,
}: {
  readonly palette: RecordOf<'palette'> | undefined;
  readonly onClose: () => void;
}) {
  const body = palette?.body;
  const [name, setName] = useState(body?.name ?? '');
  const [aims, setAims] = useState<readonly Aim[]>(body?.aims ?? []);
  const [adding, setAdding] = useState<{ readonly lab: Lab; readonly words: string } | undefined>();
  const [choosing, setChoosing] = useState(false);
  const keep = async () => {
    if (name.trim() === '') return 'Give the palette a name.';
    const next: BodyOf<'palette'> = { ...(body ?? {}), name: name.trim(), aims };
    const what = palette === undefined ? 'Added' : 'Changed';
    await sendChange(`${what} the palette ${name.trim()}`, [
      palette === undefined ? make('palette', next) : change(palette, next),
    ]);
    return undefined;
  };
  return (
    <Dialog title={body?.name ?? 'A palette'} isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <Field label="Name" value={name} onChange={setName} />
        <ul className="history">
          {aims.map((aim, i) => {
            const words = aim.name ?? spokenColour(aim.lab);
            return (
              <li key={aim.id} className="batch">
                <Tile lab={aim.lab} name={words} />
                <Field
                  label="Name"
                  aria-label={`Name of colour ${i + 1}`}
                  value={aim.name ?? ''}
                  placeholder={spokenColour(aim.lab)}
                  onChange={(text) => {
                    const { name: _, ...rest } = aim;
                    setAims(aims.with(i, text === '' ? rest : { ...rest, name: text }));
                  }}
                />
                <Button
                  kind="quiet"
                  aria-label={`Remove ${words}`}
                  onPress={() => setAims(aims.filter(({ id }) => id !== aim.id))}
                >
                  Remove
                </Button>
              </li>
            );
          })}
        </ul>
        {choosing ? (
          <>
            <AimPicker aim={adding} onAim={setAdding} />
            <div className="actions">
              <Button
                isDisabled={adding === undefined}
                onPress={() => {
                  const [l, a, b] = adding!.lab;
                  setAims([
                    ...aims,
                    {
                      id: newId('aim'),
                      name: adding!.words.slice(0, 200),
                      lab: [l, a, b],
                      toleranceDE00: MATCH,
                    },
                  ]);
                  setAdding(undefined);
                  setChoosing(false);
                }}
              >
                Add this colour
              </Button>
            </div>
          </>
        ) : (
          <div className="actions">
            <Button onPress={() => setChoosing(true)}>Add a colour</Button>
          </div>
        )}
      </SaveForm>
    </Dialog>
  );
}
