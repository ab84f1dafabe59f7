import { useId, useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { BookStep } from '../../contract/book/change.ts';
import type { BodyOf } from '../../contract/book/record.ts';
import { KIND_WIDTHS } from '../../contract/reading-kind.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { EyePicker } from '../aims/eye-picker.tsx';
import { type Patch, PicturePatch } from '../aims/picture-patch.tsx';
import { changeBook, make, newId, wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { useAll } from '../book/queries.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Field, Pick } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';
import { Tile } from '../parts/tile.tsx';
import { SORTS } from './block-sorts.ts';

type Sort = BodyOf<'block'>['sort'];

interface Draft {
  readonly key: string;
  readonly name: string;
  readonly sort: Sort;
  readonly lab: Lab;
  readonly patch?: Patch;
}

/** Names her blocks and gives each a rough colour, from a picture or by eye; one change of the book. */
export function AddBlocks({
  way,
  onDone,
}: {
  readonly way: 'picture' | 'eye';
  readonly onDone: () => void;
}) {
  const lines = useAll('line');
  const [file, setFile] = useState<File | undefined>();
  const [state, setState] = useState<'raw' | 'baked'>('raw');
  const [line, setLine] = useState('');
  const [drafts, setDrafts] = useState<readonly Draft[]>([]);
  const [eye, setEye] = useState<Lab>([60, 10, 20]);
  const [no, setNo] = useState<string | undefined>();
  const [busy, setBusy] = useState(false);
  const listId = useId();

  const add = (lab: Lab, patch?: Patch) =>
    setDrafts([
      ...drafts,
      {
        key: newId('draft'),
        name: '',
        sort: 'opaque',
        lab,
        ...(patch === undefined ? {} : { patch }),
      },
    ]);
  const set = (key: string, part: Partial<Draft>) =>
    setDrafts(drafts.map((draft) => (draft.key === key ? { ...draft, ...part } : draft)));
  const unnamed = drafts.filter(({ name }) => name.trim() === '').length;

  const keep = async () => {
    setBusy(true);
    setNo(undefined);
    try {
      const photoId = file === undefined ? undefined : await keptPhoto(file);
      await changeBook(
        drafts.length === 1
          ? `Added the block ${drafts[0].name.trim()}`
          : `Added ${drafts.length} blocks${way === 'picture' ? ' from a picture' : ' by eye'}`,
        stepsOf(drafts, { way, state, line, photoId, source: file?.name, lines: lines.records }),
      );
      onDone();
    } catch (fault) {
      setNo(wordsOf(fault));
    } finally {
      setBusy(false);
    }
  };

  return (
    <div className="screen">
      <header>
        <h1>{way === 'picture' ? 'Tap each block and name it' : 'Blocks by eye'}</h1>
        <p className="soft">
          {way === 'picture'
            ? 'Tap the middle of a block, where it lies flat and does not shine. These colours are rough, and recipes will say so.'
            : 'Hold the block beside the screen, in daylight, and move the sliders till they look alike.'}
        </p>
      </header>
      <div className="beside add-blocks">
        <div className="stack">
          {way === 'picture' ? (
            <>
              <div className="doings">
                <FileTrigger
                  acceptedFileTypes={['image/*']}
                  onSelect={(files) => setFile(files?.[0])}
                >
                  <Button kind={file === undefined ? 'main' : 'plain'}>
                    {file === undefined ? 'Take or choose a picture' : 'Another picture'}
                  </Button>
                </FileTrigger>
              </div>
              <Choice
                label="What the picture shows"
                value={state}
                onChange={setState}
                options={[
                  ['raw', 'Raw clay'],
                  ['baked', 'Baked tiles'],
                ]}
              />
              {file === undefined ? null : (
                <PicturePatch
                  file={file}
                  label="Picture of your blocks. Tap a block; arrow keys move the mark, Enter takes its colour."
                  marks={drafts.flatMap(({ patch }) => (patch === undefined ? [] : [patch]))}
                  onPatch={(patch) => add(patch.lab, patch)}
                />
              )}
            </>
          ) : (
            <>
              <EyePicker lab={eye} onChange={setEye} name="The block" />
              <div className="doings">
                <Button onPress={() => add(eye)}>Take this colour</Button>
              </div>
            </>
          )}
        </div>
        <Form className="stack" onSend={keep}>
          <div className="field">
            <label htmlFor={`${listId}-line`}>Line, the name on all the packets</label>
            <input
              id={`${listId}-line`}
              list={listId}
              value={line}
              onChange={(event) => setLine(event.target.value)}
              placeholder="My clays"
              aria-describedby={`${listId}-help`}
            />
            <datalist id={listId}>
              {lines.records.map(({ id, body }) => (
                <option key={id} value={body.name} />
              ))}
            </datalist>
            <span id={`${listId}-help`} className="field-help">
              Clays sold as one family. Blocks of other lines go in another round.
            </span>
          </div>
          {drafts.length === 0 ? (
            <p className="lead">
              {way === 'picture' && file === undefined
                ? 'First a picture.'
                : way === 'picture'
                  ? 'Now tap a block.'
                  : 'Now make a colour and take it.'}
            </p>
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
                  label="Sort"
                  value={draft.sort}
                  onChange={(sort) => set(draft.key, { sort })}
                  options={SORTS}
                />
                <Button
                  kind="quiet"
                  aria-label={`Leave out block ${i + 1}`}
                  onPress={() => setDrafts(drafts.filter(({ key }) => key !== draft.key))}
                >
                  Leave out
                </Button>
              </li>
            ))}
          </ol>
          {no === undefined ? null : <p className="field-no">{no}</p>}
          <div className="doings">
            <Button
              kind="main"
              type="submit"
              isDisabled={busy || drafts.length === 0 || unnamed > 0}
            >
              Keep {drafts.length === 1 ? 'this block' : `these ${drafts.length || ''} blocks`}
            </Button>
            <Button kind="quiet" onPress={onDone}>
              Not now
            </Button>
            {unnamed > 0 && drafts.length > 0 ? (
              <span className="soft small">
                {unnamed === 1 ? 'One has no name yet.' : `${unnamed} have no name yet.`}
              </span>
            ) : null}
          </div>
        </Form>
      </div>
    </div>
  );
}

interface StepsAsk {
  readonly way: 'picture' | 'eye';
  readonly state: 'raw' | 'baked';
  readonly line: string;
  readonly photoId: string | undefined;
  readonly source: string | undefined;
  readonly lines: readonly { readonly id: string; readonly body: BodyOf<'line'> }[];
}

function stepsOf(drafts: readonly Draft[], ask: StepsAsk): BookStep[] {
  const lineName = ask.line.trim() === '' ? 'My clays' : ask.line.trim();
  const known = ask.lines.find(({ body }) => body.name.toLowerCase() === lineName.toLowerCase());
  const lineId = known?.id ?? newId('line');
  const steps: BookStep[] =
    known === undefined ? [make('line', { name: lineName, status: 'current' }, lineId)] : [];
  const got = ask.way === 'picture' ? 'rough' : 'by eye';
  for (const { name, sort, lab, patch } of drafts) {
    const id = newId('block');
    steps.push(make('block', { lineId, name: name.trim(), sort, status: 'current' }, id));
    steps.push(
      make('reading', {
        of: { kind: 'block', id },
        got,
        state: ask.state,
        lab: { values: [...lab] as [number, number, number], light: 'D50', observer: 2 },
        spread: KIND_WIDTHS[got].spread,
        geometry: 'excluded',
        ...(ask.photoId !== undefined && patch !== undefined
          ? { photoId: ask.photoId, region: patch.region }
          : ask.source === undefined
            ? {}
            : { source: ask.source }),
      }),
    );
  }
  return steps;
}

/** Pictures kept before, should what belongs to them have to be sent again. */
const photosKept = new WeakMap<File, string>();

/** The picture is kept beside its readings; where it cannot be, the readings stand without it. */
async function keptPhoto(file: File): Promise<string | undefined> {
  const before = photosKept.get(file);
  if (before !== undefined) return before;
  try {
    const { body } = await client.call(
      'keepPhoto',
      { query: { fileName: file.name }, body: file },
      { mediaType: file.type },
    );
    const { id } = body as { id: string };
    photosKept.set(file, id);
    return id;
  } catch {
    return undefined;
  }
}
