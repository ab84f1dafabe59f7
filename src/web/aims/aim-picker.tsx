import { useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { Lab } from '../../core/colour/triples.ts';
import { useAll } from '../book/queries.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { FIRST_AIM, type RequestAim } from '../find/find-request.ts';
import { PaletteAims } from '../find/palette-aims.tsx';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Field } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';
import { EyePicker, EyeSliders } from './eye-picker.tsx';
import { AimFromBook } from './from-book.tsx';
import { MunsellPages } from './munsell-pages.tsx';
import { type Patch, PicturePatch } from './picture-patch.tsx';
import { typedAim } from './typed-aim.ts';
import './aims.css';

type Way = 'picture' | 'book' | 'eye' | 'list' | 'numbers';

/** First position of the sliders where no colour is expected. */
const FIRST_BY_EYE: Lab = FIRST_AIM.lab;

/** Chooses a colour: from a picture, the mix book or a list, by eye or by numbers. */
export function AimPicker({
  aim,
  onAim,
  alone = false,
  start = FIRST_BY_EYE,
}: {
  readonly aim: RequestAim | undefined;
  /** First position of the sliders. */
  readonly start?: Lab | undefined;
  readonly onAim: (aim: RequestAim) => void;
  /** The colour is shown nowhere else. */
  readonly alone?: boolean;
}) {
  const palettes = useAll('palette');
  const { way: asked } = useSearch({ strict: false });
  const [way, setWay] = useState<Way>(asked ?? (aim?.palette === undefined ? 'eye' : 'list'));
  const byEye = (lab: Lab) => onAim({ lab, words: spokenColour(lab) });
  return (
    <div className="stack aim">
      <Choice<Way>
        label="Choose the colour"
        value={way}
        onChange={setWay}
        options={[
          ['picture', 'From a picture', 'Picture'],
          ['book', 'From the mix book', 'Mix book'],
          ['eye', 'By eye'],
          ...(palettes.total === 0 ? [] : [['list', 'From a list', 'List'] as const]),
          ['numbers', 'By numbers', 'Numbers'],
        ]}
      />
      {way === 'eye' ? (
        <>
          {alone ? (
            <EyePicker
              lab={aim?.lab ?? start}
              name={aim === undefined ? 'A colour to start with' : 'Its colour'}
              onChange={byEye}
            />
          ) : (
            <EyeSliders lab={aim?.lab ?? start} onChange={byEye} />
          )}
          {aim === undefined ? (
            <div className="actions">
              <Button onPress={() => byEye(start)}>Use this colour</Button>
            </div>
          ) : null}
        </>
      ) : null}
      {way === 'book' ? <AimFromBook onChoose={(lab, words) => onAim({ lab, words })} /> : null}
      {way === 'list' ? <PaletteAims chosen={aim} onChoose={onAim} /> : null}
      {way === 'picture' ? <FromPicture onAim={onAim} /> : null}
      {way === 'numbers' ? (
        <>
          <Typed onAim={onAim} />
          <details>
            <summary>Choose from a Munsell page</summary>
            <MunsellPages onChoose={(lab, words) => onAim({ lab, words })} />
          </details>
        </>
      ) : null}
    </div>
  );
}

function Typed({ onAim }: { onAim: (aim: RequestAim) => void }) {
  const [text, setText] = useState('');
  const [no, setNo] = useState<string | undefined>();
  const take = async () => {
    const typed = await typedAim(text);
    if ('no' in typed) return setNo(typed.no);
    setNo(undefined);
    onAim(typed);
  };
  return (
    <Form className="stack" onSend={take}>
      <Field
        label="Colour"
        value={text}
        onChange={setText}
        no={no}
        help="#8a3b2c, L* a* b* such as 52 -18 22, or Munsell such as 5GY 5/4"
      />
      <div className="actions">
        <Button type="submit">Use this colour</Button>
      </div>
    </Form>
  );
}

function FromPicture({ onAim }: { onAim: (aim: RequestAim) => void }) {
  const [file, setFile] = useState<File | undefined>();
  const [patch, setPatch] = useState<Patch | undefined>();
  return (
    <div className="stack">
      <div className="actions">
        <FileTrigger acceptedFileTypes={['image/*']} onSelect={(files) => setFile(files?.[0])}>
          <Button>{file === undefined ? 'Choose a picture' : 'Choose another picture'}</Button>
        </FileTrigger>
      </div>
      {file === undefined ? (
        <p className="soft small">
          Colours from pictures are rough: camera, light and screen all change them. The picture
          stays on this device.
        </p>
      ) : (
        <PicturePatch
          file={file}
          label="Picture. Tap the colour you want, or move the mark with the arrow keys and press Enter."
          marks={patch === undefined ? [] : [patch]}
          onPatch={(taken) => {
            setPatch(taken);
            onAim({ lab: taken.lab, words: `a patch of ${file.name}` });
          }}
        />
      )}
    </div>
  );
}
