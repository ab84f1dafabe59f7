import { useState } from 'react';
import type { Lab } from '../../../core/colour/triples.ts';
import { change } from '../../../domain/changes/steps.ts';
import { labOfReading } from '../../../domain/records/lab-of-reading.ts';
import type { RecordOf } from '../../../domain/records/record.ts';
import { EyePicker } from '../../aims/eye-picker.tsx';
import { sendChange, wordsOf } from '../../book/change.ts';
import { Button } from '../../parts/button.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Field } from '../../parts/field.tsx';

/** Overrides a reading by eye: the reading is kept, but the chosen colour is used. */
export function Override({
  reading,
  onClose,
}: {
  reading: RecordOf<'reading'>;
  onClose: () => void;
}) {
  const [lab, setLab] = useState<Lab>(labOfReading(reading.body) ?? [50, 0, 0]);
  const [note, setNote] = useState(reading.body.override?.note ?? '');
  const [no, setNo] = useState<string | undefined>();
  const save = async (override: boolean) => {
    const { override: _, ...body } = reading.body;
    try {
      await sendChange(override ? 'Overrode a reading by eye' : 'Used the reading again', [
        change(
          reading,
          override
            ? {
                ...body,
                override: {
                  lab: [...lab] as [number, number, number],
                  note: note.trim() === '' ? 'By eye, next to the tile.' : note.trim(),
                  at: new Date().toISOString(),
                },
              }
            : body,
        ),
      ]);
      onClose();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Dialog title="Which colour do you see?" isOpen onClose={onClose}>
      <p>The reading is kept, but your colour is used from now on.</p>
      <EyePicker lab={lab} onChange={setLab} name="Your colour" />
      <Field label="Why" value={note} onChange={setNote} rows={2} />
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="actions">
        <Button kind="main" onPress={() => save(true)}>
          Use my colour
        </Button>
        {reading.body.override === undefined ? null : (
          <Button onPress={() => save(false)}>Use the reading</Button>
        )}
        <Button kind="quiet" onPress={onClose}>
          Cancel
        </Button>
      </div>
    </Dialog>
  );
}
