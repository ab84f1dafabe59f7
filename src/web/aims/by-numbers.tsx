import { useState } from 'react';
import type { RequestAim } from '../find/find-request.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';
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
