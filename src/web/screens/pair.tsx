import { useState } from 'react';
import { wordsOf } from '../book/change.ts';
import { client } from '../book/client.ts';
import { queries } from '../book/queries.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { Form } from '../parts/form.tsx';

/** Pairs a device by the code shown on the computer; a QR code has it behind the #. */
export function Pair() {
  const [code, setCode] = useState(/#pair=([^&]+)/.exec(location.hash)?.[1] ?? '');
  const [name, setName] = useState('');
  const [no, setNo] = useState<string | undefined>();
  const pair = async () => {
    try {
      const called = name.trim() === '' ? 'Unnamed device' : name.trim();
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
          Your book is on another computer. On that computer open Settings, press “Pair a device”,
          and type the code here.
        </p>
      </header>
      <Form className="form" onSend={pair}>
        <Field label="Code" value={code} onChange={setCode} no={no} autoComplete="one-time-code" />
        <Field
          label="Name of this device"
          value={name}
          onChange={setName}
          help="Shown in the list of devices, e.g. tablet or old phone"
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
