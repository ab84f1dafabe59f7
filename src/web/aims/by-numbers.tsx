import { useRef, useState } from 'react';
import type { RequestAim } from '../find/find-request.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { MunsellPages } from './munsell-pages.tsx';
import { typedAim } from './typed-aim.ts';

/** A colour by its numbers, or from a page of Munsell colours. */
export function AimByNumbers({ onAim }: { readonly onAim: (aim: RequestAim) => void }) {
  return (
    <>
      <Typed onAim={onAim} />
      <details>
        <summary>Choose from a Munsell page</summary>
        <MunsellPages onChoose={(lab, words) => onAim({ lab, words })} />
      </details>
    </>
  );
}

function Typed({ onAim }: { onAim: (aim: RequestAim) => void }) {
  const [text, setText] = useState('');
  const [no, setNo] = useState<string | undefined>();
  const newest = useRef('');
  /** A text that is a colour is used at once, like a slider; while typing, an unfinished one is no error. */
  const read = async (next: string, isFinished: boolean) => {
    newest.current = next;
    const typed = await typedAim(next);
    if (newest.current !== next) return;
    if ('no' in typed) return setNo(isFinished ? typed.no : undefined);
    setNo(undefined);
    onAim(typed);
  };
  // No form: the colour may be a field of one, and forms cannot be nested.
  return (
    <>
      <Field
        label="Colour"
        value={text}
        onChange={(next) => {
          setText(next);
          void read(next, false);
        }}
        onKeyDown={(event) => {
          if (event.key !== 'Enter') return;
          event.preventDefault();
          void read(text, true);
        }}
        no={no}
        help="#8a3b2c, L* a* b* such as 52 -18 22, or Munsell such as 5GY 5/4"
      />
      <div className="actions">
        <Button onPress={() => read(text, true)}>Use this colour</Button>
      </div>
    </>
  );
}
