import { useState } from 'react';
import { change, make } from '../../../domain/changes/steps.ts';
import type { BodyOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';
import type { Box } from './boxed.ts';

const NOWHERE = 'nowhere';

/** Edits the name and place of a box, or adds a box. */
export function EditBox({ box, onClose }: { readonly box?: Box; readonly onClose: () => void }) {
  const others = useAll('box').records.filter(({ id }) => id !== box?.id);
  const [lid, setLid] = useState(box?.body.lid ?? '');
  const [place, setPlace] = useState(box?.body.place ?? '');
  const [insideOf, setInsideOf] = useState(box?.body.insideOf ?? NOWHERE);
  const keep = async () => {
    if (lid.trim() === '') return 'Type the name on the lid.';
    const { place: _p, insideOf: _i, ...rest } = box?.body ?? { holds: [] };
    const body: BodyOf<'box'> = {
      ...rest,
      lid: lid.trim(),
      ...(place.trim() === '' ? {} : { place: place.trim() }),
      ...(insideOf === NOWHERE ? {} : { insideOf }),
    };
    await sendChange(
      box === undefined ? `Added the box ${body.lid}` : `Changed the box ${body.lid}`,
      [box === undefined ? make('box', body) : change(box, body)],
    );
    return undefined;
  };
  return (
    <Dialog title={box === undefined ? 'Add a box' : box.body.lid} isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <Field label="Name on the lid" value={lid} onChange={setLid} autoFocus />
        <Field label="Place" value={place} onChange={setPlace} placeholder="left cupboard" />
        {others.length === 0 ? null : (
          <Pick
            label="Inside box"
            value={insideOf}
            onChange={setInsideOf}
            options={[
              [NOWHERE, 'no other box'],
              ...others.map(({ id, body }) => [id, body.lid] as const),
            ]}
          />
        )}
      </SaveForm>
    </Dialog>
  );
}
