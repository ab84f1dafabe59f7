import { useState } from 'react';
import { change } from '../../../domain/changes/steps.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { sendChange } from '../../book/change.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Field } from '../../parts/field.tsx';
import { SaveForm } from '../../parts/save-form.tsx';

/** A block that the user decides about. */
export interface Pinning {
  readonly block: RecordOf<'block'>;
  readonly name: string;
  readonly to: 'always' | 'never';
}

/** Saves with a block that it is always bought, or never again, and why. */
export function PinBlock({ block, name, to, onClose }: Pinning & { readonly onClose: () => void }) {
  const [why, setWhy] = useState(block.body.buying?.why ?? '');
  const title = to === 'always' ? `Always buy ${name}` : `Never buy ${name} again`;
  const keep = async () => {
    const said = why.trim();
    await sendChange(title, [
      change(block, {
        ...block.body,
        buying: { choice: to, ...(said === '' ? {} : { why: said }) },
      }),
    ]);
    return undefined;
  };
  return (
    <Dialog title={title} isOpen onClose={onClose}>
      <SaveForm keep={keep} onDone={onClose}>
        <Field
          label="Why"
          value={why}
          onChange={setWhy}
          placeholder={to === 'always' ? 'I paint it' : 'It crumbled'}
          help="Piles and buying lists keep to this until you change it."
        />
      </SaveForm>
    </Dialog>
  );
}
