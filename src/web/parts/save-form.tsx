import { type ReactNode, useState } from 'react';
import { wordsOf } from '../book/change.ts';
import { Button } from './button.tsx';
import { Form } from './form.tsx';

/** The form of one record: saves or cancels, shows what is wrong, and closes once it is saved. */
export function SaveForm({
  keep,
  onDone,
  keepWords = 'Save',
  leaveWords = 'Cancel',
  children,
  also,
}: {
  /** Returns: what is wrong; nothing once it is saved. */
  readonly keep: () => Promise<string | undefined>;
  /** Called after Save or Cancel. */
  readonly onDone: () => void;
  readonly keepWords?: string;
  readonly leaveWords?: string;
  readonly children: ReactNode;
  /** A third button: its label and action. */
  readonly also?: readonly [string, () => Promise<unknown>];
}) {
  const [no, setNo] = useState<string | undefined>();
  const run = async (work: () => Promise<string | undefined>) => {
    try {
      const why = await work();
      if (why === undefined) onDone();
      else setNo(why);
    } catch (fault) {
      setNo(wordsOf(fault));
    }
  };
  return (
    <Form className="stack" onSend={() => run(keep)}>
      {children}
      {no === undefined ? null : <p className="field-no">{no}</p>}
      <div className="actions">
        <Button kind="main" type="submit">
          {keepWords}
        </Button>
        <Button kind="quiet" onPress={onDone}>
          {leaveWords}
        </Button>
        {also === undefined ? null : (
          <Button kind="quiet" onPress={() => run(async () => void (await also[1]()))}>
            {also[0]}
          </Button>
        )}
      </div>
    </Form>
  );
}
