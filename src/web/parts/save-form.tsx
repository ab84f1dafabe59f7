import { type ReactNode, useState } from 'react';
import { wordsOf } from '../book/change.ts';
import { Button } from './button.tsx';
import { Form } from './form.tsx';

/** Fields of one thing, kept or left: says why it cannot stand, and closes once it is kept. */
export function SaveForm({
  keep,
  onDone,
  keepWords = 'Save',
  leaveWords = 'Cancel',
  children,
  also,
}: {
  /** Returns: why it cannot be kept as it stands; nothing once it is. */
  readonly keep: () => Promise<string | undefined>;
  /** Kept, or left. */
  readonly onDone: () => void;
  readonly keepWords?: string;
  readonly leaveWords?: string;
  readonly children: ReactNode;
  /** What else may be done with it: words, and the doing. */
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
      <div className="doings">
        <Button kind="main" type="submit">
          {keepWords}
        </Button>
        <Button kind="quiet" onPress={onDone}>
          {leaveWords}
        </Button>
        {also === undefined ? null : (
          <Button kind="quiet" onPress={() => void run(async () => void (await also[1]()))}>
            {also[0]}
          </Button>
        )}
      </div>
    </Form>
  );
}
