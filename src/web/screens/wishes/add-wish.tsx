import { useState } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { make } from '../../../domain/changes/steps.ts';
import { BOOK_LIMITS } from '../../../domain/records/limits.ts';
import { AimPicker } from '../../aims/aim-picker.tsx';
import { sendChange } from '../../book/change.ts';
import { useAll } from '../../book/queries.ts';
import { spokenColour } from '../../colour/spoken-colour.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Field, Pick } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';

/** A colour of your own for the wish list. */
export function AddWish({ onClose }: { readonly onClose: () => void }) {
  const lines = useAll('line').records;
  const [aim, setAim] = useState<{ readonly lab: Lab; readonly words: string } | undefined>();
  const [typed, setTyped] = useState('');
  const [why, setWhy] = useState('');
  const [lineId, setLineId] = useState('');
  const keep = async () => {
    if (aim === undefined) return 'Choose the colour.';
    const [l, a, b] = aim.lab;
    const name = (typed.trim() === '' ? spokenColour(aim.lab) : typed.trim()).slice(
      0,
      BOOK_LIMITS.name,
    );
    await sendChange(`Added ${name} to the wish list`.slice(0, 300), [
      make('wish', {
        name,
        lab: [l, a, b],
        ...(why.trim() === '' ? {} : { why: why.trim().slice(0, BOOK_LIMITS.name) }),
        ...(lineId === '' ? {} : { lineId }),
      }),
    ]);
    return undefined;
  };
  return (
    <Dialog title="A colour for the wish list" isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <AimPicker aim={aim} onAim={setAim} />
        <Field
          label="Name"
          value={typed}
          onChange={setTyped}
          placeholder={aim === undefined ? '' : spokenColour(aim.lab)}
        />
        <Field label="What it is for" value={why} onChange={setWhy} />
        {lines.length === 0 ? null : (
          <Pick
            label="Line"
            value={lineId}
            onChange={setLineId}
            options={[['', 'Any line'], ...lines.map(({ id, body }) => [id, body.name] as const)]}
          />
        )}
      </SaveForm>
    </Dialog>
  );
}
