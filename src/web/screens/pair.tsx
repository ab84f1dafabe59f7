import { useState } from 'react';
import { wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { queries } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';

/** Lets a device in by the code the owner sees; a QR code brings it behind the #. */
export function Pair() {
  const [code, setCode] = useState(/#pair=([^&]+)/.exec(location.hash)?.[1] ?? '');
  const [name, setName] = useState('');
  const [no, setNo] = useState<string | undefined>();
  const pair = async () => {
    try {
      const called = name.trim() === '' ? 'A device at the bench' : name.trim();
      await client.call('pair', { body: { code: code.trim(), name: called, as: 'page' } });
      history.replaceState(null, '', '/');
      await queries.resetQueries();
      location.reload();
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <div className="screen">
      <header>
        <h1>Pair this device</h1>
        <p className="lead">
          Your book is on another computer. On that computer open Settings, press "Pair a device",
          and type the code here.
        </p>
      </header>
      <Form className="form" onSend={pair}>
        <Field label="Code" value={code} onChange={setCode} no={no} autoComplete="one-time-code" />
        <Field
          label="Name of this device"
          value={name}
          onChange={setName}
          help="So that you know it in the list: the tablet, the old phone."
        />
        <div className="actions">
          <Button kind="main" type="submit" isDisabled={code.trim() === ''}>
            Pair
          </Button>
        </div>
      </Form>
    </div>
  );
}
