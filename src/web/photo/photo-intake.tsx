import { type DragEvent, useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import { Button } from '../parts/button.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { hasCamera, UseYourPhone } from '../parts/use-your-phone.tsx';
import { bringAgain, bringPhotos, type Coming, stopComing, useComing } from './bring-photo.ts';
import { PhotoLine } from './photo-line.tsx';
import type { PhotoRead } from './photo-reads.ts';

const KINDS = ['image/*', '.heic', '.heif', '.tif', '.tiff'];

/** Adds photos: taken, chosen or dropped, one or several. */
export function PhotoIntake({ reads }: { readonly reads: readonly PhotoRead[] }) {
  const coming = useComing();
  const [over, setOver] = useState(false);
  const first = reads.length === 0;
  const take = (files: FileList | null) => bringPhotos([...(files ?? [])]);
  const onDrag = (event: DragEvent, is: boolean) => {
    event.preventDefault();
    setOver(is);
  };
  const underWay = coming.filter(({ stage }) => stage !== 'no');
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping is for the mouse; the buttons inside do the same
    <div
      className="intake"
      data-first={first || undefined}
      data-over={over || undefined}
      onDragOver={(event) => onDrag(event, true)}
      onDragLeave={(event) => onDrag(event, false)}
      onDrop={(event) => {
        onDrag(event, false);
        take(event.dataTransfer.files);
      }}
    >
      <div className="actions">
        {hasCamera ? (
          <FileTrigger acceptedFileTypes={KINDS} defaultCamera="environment" onSelect={take}>
            <Button kind={first ? 'main' : 'plain'}>
              {first ? 'Take a photo' : 'Take another photo'}
            </Button>
          </FileTrigger>
        ) : null}
        <FileTrigger acceptedFileTypes={KINDS} allowsMultiple onSelect={take}>
          <Button kind={first && !hasCamera ? 'main' : 'plain'}>
            {first ? 'Choose photos' : 'Add a photo'}
          </Button>
        </FileTrigger>
        {hasCamera ? null : <span className="soft small">or drop them here</span>}
        {first ? <UseYourPhone /> : null}
      </div>
      {underWay.length === 0 ? null : (
        <JobProgress
          what={
            underWay.length === 1
              ? `Uploading ${underWay[0].fileName}`
              : `Uploading ${underWay.length} photos`
          }
          onStop={() => {
            for (const { key } of underWay) stopComing(key);
          }}
        />
      )}
      <PhotoLine reads={reads} coming={underWay} />
      {coming.map((one) => (one.stage === 'no' ? <NotCome key={one.key} one={one} /> : null))}
    </div>
  );
}

function NotCome({ one: { key, fileName, no = '' } }: { readonly one: Coming }) {
  return (
    <div className="part" role="alert">
      {/* With several files the message must name the file. */}
      <p className="field-no">{no.includes(fileName) ? no : `${fileName}: ${no}`}</p>
      <div className="actions">
        <Button kind="quiet" onPress={() => bringAgain(key)}>
          Try again
        </Button>
        <Button kind="quiet" onPress={() => stopComing(key)}>
          Dismiss
        </Button>
      </div>
    </div>
  );
}
