import { useId, useRef, useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { Lab } from '../../core/colour/triples.ts';
import { EyePicker } from '../aims/eye-picker.tsx';
import { PicturePatch } from '../aims/picture-patch.tsx';
import { wordsOf } from '../book/change.ts';
import { useAll } from '../book/queries.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Field, Pick } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';
import { Tile } from '../parts/tile.tsx';
import { UseYourPhone } from '../parts/use-your-phone.tsx';
import { CLAY_TYPES } from './block-types.ts';
import { type BlockDrafts, type Draft, pictureOf, withDraft } from './blocks/block-drafts.ts';
import { saveBlocks } from './blocks/save-blocks.ts';
import '../look/blocks.css';

/** Adds blocks with a name and a rough colour each, from a photo or by eye, in one change of the book. */
export function AddBlocks({
  way,
  begun,
  onChange,
  onSaved,
  onCancel,
}: {
  readonly way: 'picture' | 'eye';
  readonly begun: BlockDrafts;
  readonly onChange: (begun: BlockDrafts) => void;
  readonly onSaved: () => void;
  /** Cancel: the drafts stay. */
  readonly onCancel: () => void;
}) {
  const lines = useAll('line');
  const [file, setFile] = useState<File | undefined>();
  const files = useRef(new Map<string, File>());
  const [opened, setOpened] = useState<File | undefined>();
  const [eye, setEye] = useState<Lab>([60, 10, 20]);
  /** The sliders have not moved since this colour was used: a second press adds no twin. */
  const [used, setUsed] = useState<Lab | undefined>();
  const [no, setNo] = useState<string | undefined>();
  const [busy, setBusy] = useState(false);
  const listId = useId();
  const { drafts, state, line } = begun;
  const picture = file === undefined ? undefined : pictureOf(file);

  const choose = (chosen: File | undefined) => {
    if (chosen === undefined) return;
    files.current.set(pictureOf(chosen).key, chosen);
    setFile(chosen);
  };
  const set = (key: string, part: Partial<Draft>) =>
    onChange({
      ...begun,
      drafts: drafts.map((draft) => (draft.key === key ? { ...draft, ...part } : draft)),
    });
  const unnamed = drafts.filter(({ name }) => name.trim() === '').length;
  const pictureGone = drafts.some(
    (draft) => draft.picture !== undefined && !files.current.has(draft.picture.key),
  );

  const save = async () => {
    setBusy(true);
    setNo(undefined);
    try {
      await saveBlocks(begun, lines.records, files.current);
      onSaved();
    } catch (fault) {
      setNo(wordsOf(fault));
    } finally {
      setBusy(false);
    }
  };

  return (
    <div className="screen">
      <header>
        <h1>{way === 'picture' ? 'Tap each block and name it' : 'Add blocks by eye'}</h1>
        <p className="soft">
          {way === 'picture'
            ? 'Tap the middle of a block, where it is flat and does not shine. These colours are rough, and so are recipes made from them.'
            : 'Hold the block next to the screen in daylight and move the sliders until both look the same.'}
        </p>
      </header>
      <div className="beside add-blocks">
        <div className="stack">
          {way === 'picture' ? (
            <>
              <div className="actions">
                <FileTrigger
                  acceptedFileTypes={['image/*']}
                  onSelect={(chosen) => choose(chosen?.[0])}
                >
                  <Button kind={file === undefined ? 'main' : 'plain'}>
                    {file === undefined ? 'Take or choose a photo' : 'Choose another photo'}
                  </Button>
                </FileTrigger>
                <UseYourPhone />
              </div>
              <Choice
                label="The photo shows"
                value={state}
                onChange={(next) => onChange({ ...begun, state: next })}
                options={[
                  ['raw', 'Raw clay'],
                  ['baked', 'Baked tiles'],
                ]}
              />
              {file === undefined || picture === undefined ? null : (
                <PicturePatch
                  file={file}
                  label="Photo of your blocks. Tap a block, or move the mark with the arrow keys and press Enter."
                  marks={drafts.flatMap((draft) =>
                    draft.patch === undefined || draft.picture?.key !== picture.key
                      ? []
                      : [draft.patch],
                  )}
                  onOpen={setOpened}
                  onPatch={(patch) => onChange(withDraft(begun, patch.lab, { picture, patch }))}
                />
              )}
            </>
          ) : (
            <>
              <EyePicker lab={eye} onChange={setEye} name="The block" />
              <div className="actions">
                <Button
                  isDisabled={used === eye}
                  onPress={() => {
                    setUsed(eye);
                    onChange(withDraft(begun, eye));
                  }}
                >
                  Use this colour
                </Button>
              </div>
            </>
          )}
          {drafts.length === 0 ? null : (
            <p className="soft small below-said" role="status">
              {drafts.length === 1 ? 'One block added' : `${drafts.length} blocks added`}. Name them
              below.
            </p>
          )}
        </div>
        <Form className="stack" onSend={save}>
          <div className="field">
            <label htmlFor={`${listId}-line`}>Clay line (name on the package)</label>
            <input
              id={`${listId}-line`}
              list={listId}
              value={line}
              onChange={(event) => onChange({ ...begun, line: event.target.value })}
              placeholder="My clays"
              aria-describedby={`${listId}-help`}
            />
            <datalist id={listId}>
              {lines.records.map(({ id, body }) => (
                <option key={id} value={body.name} />
              ))}
            </datalist>
            <span id={`${listId}-help`} className="field-help">
              All these blocks get this line. Add blocks of other lines separately.
            </span>
          </div>
          {drafts.length > 0 ? null : way === 'eye' ? (
            <p className="lead">Set a colour with the sliders, then press Use this colour.</p>
          ) : file === undefined ? (
            <p className="lead">Choose a photo first.</p>
          ) : file === opened ? (
            <p className="lead">Now tap a block in the photo.</p>
          ) : null}
          <ol className="drafts">
            {drafts.map((draft, i) => (
              <li key={draft.key} className="draft">
                <Tile lab={draft.lab} name={`Block ${i + 1}`} />
                <Field
                  label={`Name of block ${i + 1}`}
                  value={draft.name}
                  onChange={(name) => set(draft.key, { name })}
                  placeholder={spokenColour(draft.lab)}
                  autoFocus={i === drafts.length - 1}
                />
                <Pick
                  label="Type of clay"
                  value={draft.clayType}
                  onChange={(clayType) => set(draft.key, { clayType })}
                  options={CLAY_TYPES}
                />
                <Button
                  kind="quiet"
                  aria-label={`Exclude block ${i + 1}`}
                  onPress={() =>
                    onChange({ ...begun, drafts: drafts.filter(({ key }) => key !== draft.key) })
                  }
                >
                  Exclude
                </Button>
              </li>
            ))}
          </ol>
          {pictureGone ? (
            <p className="soft small">
              The photo of some blocks is no longer open. Their colours are kept. Choose the photo
              again to save it with them.
            </p>
          ) : null}
          {no === undefined ? null : <p className="field-no">{no}</p>}
          <div className="actions">
            <Button
              kind="main"
              type="submit"
              isDisabled={busy || drafts.length === 0 || unnamed > 0}
            >
              Save {drafts.length === 1 ? 'this block' : `these ${drafts.length || ''} blocks`}
            </Button>
            <Button kind="quiet" onPress={onCancel}>
              Cancel
            </Button>
            {unnamed > 0 && drafts.length > 0 ? (
              <span className="soft small">
                {unnamed === 1
                  ? 'One block has no name yet.'
                  : `${unnamed} blocks have no name yet.`}
              </span>
            ) : null}
          </div>
        </Form>
      </div>
    </div>
  );
}
