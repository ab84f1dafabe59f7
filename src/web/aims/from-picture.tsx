import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { RequestAim } from '../find/find-request.ts';
import { Button } from '../parts/button.tsx';
import { type Patch, PicturePatch } from './picture-patch.tsx';

/** A colour tapped in a picture on this device. */
export function AimFromPicture({ onAim }: { readonly onAim: (aim: RequestAim) => void }) {
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
          Colours from pictures are rough: camera, light and screen all change them. The picture is
          not saved.
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
