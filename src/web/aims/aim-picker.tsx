import { useSearch } from '@tanstack/react-router';
import { Suspense, useState } from 'react';
import type { Lab } from '../../core/colour/triples.ts';
import { useAll } from '../book/queries.ts';
import { spokenColour } from '../colour/spoken-colour.ts';
import { FIRST_AIM, type RequestAim } from '../find/find-request.ts';
import { PaletteAims } from '../find/palette-aims.tsx';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { later } from '../parts/later.ts';
import { EyePicker, EyeSliders } from './eye-picker.tsx';
import './aims.css';

const AimFromPicture = later(async () => (await import('./from-picture.tsx')).AimFromPicture);
const AimFromBook = later(async () => (await import('./from-book.tsx')).AimFromBook);
const AimByNumbers = later(async () => (await import('./by-numbers.tsx')).AimByNumbers);

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
      <Suspense fallback={<JobProgress what="Loading" />}>
        {way === 'book' ? <AimFromBook onChoose={(lab, words) => onAim({ lab, words })} /> : null}
        {way === 'list' ? <PaletteAims chosen={aim} onChoose={onAim} /> : null}
        {way === 'picture' ? <AimFromPicture onAim={onAim} /> : null}
        {way === 'numbers' ? <AimByNumbers onAim={onAim} /> : null}
      </Suspense>
    </div>
  );
}
