import { type DragEvent, useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import { Button } from '../parts/button.tsx';
import { JobProgress } from '../parts/job-progress.tsx';
import { bringPhotos, useComing } from './bring-photo.ts';

const KINDS = ['image/*', '.heic', '.heif', '.tif', '.tiff'];

/** Where photos come in: taken, chosen or dropped, one or several. */
export function PhotoIntake({ first }: { readonly first: boolean }) {
  const coming = useComing();
  const [over, setOver] = useState(false);
  const take = (files: FileList | null) => void bringPhotos([...(files ?? [])]);
  // A phone's own camera; a desk's picture lies in a folder.
  const hasCamera = globalThis.matchMedia?.('(pointer: coarse)').matches === true;
  const onDrag = (event: DragEvent, is: boolean) => {
    event.preventDefault();
    setOver(is);
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping is for the mouse; the buttons inside do the same
    <div
      className="intake"
      data-over={over || undefined}
      onDragOver={(event) => onDrag(event, true)}
      onDragLeave={(event) => onDrag(event, false)}
      onDrop={(event) => {
        onDrag(event, false);
        take(event.dataTransfer.files);
      }}
    >
      <div className="doings">
        {hasCamera ? (
          <FileTrigger acceptedFileTypes={KINDS} defaultCamera="environment" onSelect={take}>
            <Button kind={first ? 'main' : 'plain'}>
              {first ? 'Take a photo' : 'Take another'}
            </Button>
          </FileTrigger>
        ) : null}
        <FileTrigger acceptedFileTypes={KINDS} allowsMultiple onSelect={take}>
          <Button kind={first && !hasCamera ? 'main' : 'plain'}>
            {first ? 'Choose photos' : 'Add a photo'}
          </Button>
        </FileTrigger>
        {hasCamera ? null : <span className="soft small">or drop them here</span>}
      </div>
      {coming.map(({ key, fileName, no, stop }) =>
        no === undefined ? (
          <JobProgress key={key} what={`Bringing in ${fileName}`} onStop={stop} />
        ) : (
          <div key={key} className="part" role="alert">
            {/* Of several files, she must know which. */}
            <p className="field-no">{no.includes(fileName) ? no : `${fileName}: ${no}`}</p>
            <div className="doings">
              <Button kind="quiet" onPress={stop}>
                Lay this line away
              </Button>
            </div>
          </div>
        ),
      )}
    </div>
  );
}
