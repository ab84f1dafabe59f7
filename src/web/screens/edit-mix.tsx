import { useState } from 'react';
import { AppError } from '../../core/errors.ts';
import { change } from '../../domain/changes/steps.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { sendChange, wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { titleOfMix } from '../book/names.ts';
import { tagsFrom } from '../book/tags.ts';
import { Button } from '../parts/button.tsx';
import { ClayAdder } from '../parts/clay-picker.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field, Pick } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';
import { Pieces } from '../parts/pieces.tsx';
import { PowderList, useMixGroups } from './mix-pieces.tsx';

/**
 * Edits the name, parts and notes of a mix. If the mix was changed elsewhere meanwhile, what was typed
 * here stays, and the user chooses which version to keep.
 */
export function EditMix({
  mix,
  onClose,
}: {
  readonly mix: RecordOf<'mix'>;
  readonly onClose: () => void;
}) {
  const { body } = mix;
  // The mix as it was when the dialog opened, so that changes made elsewhere are noticed.
  const [seen, setSeen] = useState(mix);
  const [code, setCode] = useState(body.code ?? '');
  const [name, setName] = useState(body.name ?? '');
  const [tags, setTags] = useState((body.tags ?? []).join(', '));
  const [note, setNote] = useState(body.note ?? '');
  const [status, setStatus] = useState(body.status);
  const [parts, setParts] = useState(body.parts);
  const [no, setNo] = useState<string | undefined>();
  const [theirs, setTheirs] = useState<RecordOf<'mix'> | undefined>();
  const groups = useMixGroups({ ...mix, body: { ...body, parts } });

  const save = async (over: RecordOf<'mix'>) => {
    setNo(undefined);
    const tagList = tagsFrom(tags);
    const kept = parts.filter((part) => part.parts > 0);
    if (kept.length === 0) return setNo('A mix needs at least one part.');
    if (code.trim() === '' && name.trim() === '') return setNo('Give the mix a code or a name.');
    const moved = JSON.stringify(kept) !== JSON.stringify(over.body.parts);
    const { code: _c, name: _n, tags: _t, note: _o, predicted, ...rest } = over.body;
    const next: BodyOf<'mix'> = {
      ...rest,
      parts: kept,
      status,
      ...(code.trim() === '' ? {} : { code: code.trim() }),
      ...(name.trim() === '' ? {} : { name: name.trim() }),
      ...(tagList.length === 0 ? {} : { tags: tagList }),
      ...(note.trim() === '' ? {} : { note: note.trim() }),
      // The saved prediction belongs to the parts before.
      ...(predicted === undefined || moved ? {} : { predicted }),
    };
    try {
      await sendChange(`Changed the mix ${name.trim() || code.trim()}`, [change(over, next)]);
      onClose();
    } catch (fault) {
      if (fault instanceof AppError && fault.code === 'stale-write') {
        const { body: now } = await client.call('getRecord', { params: { id: mix.id } });
        setTheirs(now as RecordOf<'mix'>);
      } else setNo(wordsOf(fault));
    }
  };
  return (
    <Dialog title={`Edit ${titleOfMix(mix)}`} isOpen onClose={onClose}>
      <Form className="stack" onSend={() => save(seen)}>
        <div className="two">
          <Field label="Code" value={code} onChange={setCode} />
          <Pick
            label="Status"
            value={status}
            onChange={setStatus}
            options={[
              ['idea', 'idea'],
              ['test', 'test mix'],
              ['saved', 'saved'],
              ['retired', 'retired'],
            ]}
          />
        </div>
        <Field label="Name" value={name} onChange={setName} autoFocus />
        <Pieces
          groups={groups}
          onChange={(id, n) =>
            setParts(parts.map((p) => (p.of.id === id ? { ...p, parts: n } : p)))
          }
        />
        <div className="actions">
          <ClayAdder
            label="Add a clay"
            among={(id) => !parts.some(({ of }) => of.id === id)}
            onChoose={(id) => setParts([...parts, { of: { kind: 'block', id }, parts: 1 }])}
          />
        </div>
        <PowderList mix={body} />
        <Field label="Tags" value={tags} onChange={setTags} />
        <Field label="Note" value={note} onChange={setNote} rows={3} />
        {theirs === undefined ? null : (
          <div className="stack" role="alert">
            <p className="field-no">
              This mix was changed on another page or device. Its name there is {titleOfMix(theirs)}
              {theirs.body.note === undefined || theirs.body.note === note.trim()
                ? ''
                : `, with the note “${theirs.body.note}”`}
              .
            </p>
            <div className="actions">
              <Button
                onPress={() => {
                  setSeen(theirs);
                  setTheirs(undefined);
                  void save(theirs);
                }}
              >
                Keep my version
              </Button>
              <Button onPress={onClose}>Keep the other version</Button>
            </div>
          </div>
        )}
        {no === undefined ? null : <p className="field-no">{no}</p>}
        <div className="actions">
          <Button kind="main" type="submit">
            Save changes
          </Button>
          <Button kind="quiet" onPress={onClose}>
            Cancel
          </Button>
        </div>
      </Form>
    </Dialog>
  );
}
