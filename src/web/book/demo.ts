import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { wordsOf } from './change.ts';
import { client } from './client.ts';
import { type JobHere, useJob } from './job.ts';
import { showNotice } from './notice.ts';
import { queries } from './queries.ts';

export interface DemoHere {
  /** The book is empty: the invented studio may move in. */
  readonly offered: boolean;
  readonly inside: number;
  readonly leaning: number;
  readonly busy: boolean;
  /** Learning how its clays mix, once it has moved in. */
  readonly learning: JobHere;
  readonly moveIn: () => Promise<void>;
  readonly clearOut: () => Promise<void>;
}

/** The invented studio in this book: let in, and cleared out again. */
export function useDemo(): DemoHere {
  const [busy, setBusy] = useState(false);
  // Under `counts`, so that every change of the book asks anew.
  const { data } = useQuery({
    queryKey: ['counts', 'demo'],
    queryFn: async () => (await client.call('demo', {})).body,
  });
  const learning = useJob(() => void queries.invalidateQueries(), 'learn');
  const run = async (ask: () => Promise<{ seq: number; text: string }>) => {
    setBusy(true);
    try {
      const { seq, text } = await ask();
      await queries.invalidateQueries();
      showNotice({ text, undo: seq });
    } catch (fault) {
      showNotice({ text: wordsOf(fault) });
    } finally {
      setBusy(false);
    }
  };
  return {
    offered: data?.offered ?? false,
    inside: data?.inside ?? 0,
    leaning: data?.leaning ?? 0,
    busy,
    learning,
    moveIn: () =>
      run(async () => {
        const { body } = await client.call('moveDemoIn', {});
        learning.start({ do: 'learn', name: 'Learned from the invented tiles' });
        return { seq: body.group.seq, text: 'Demo loaded.' };
      }),
    clearOut: () =>
      run(async () => {
        const { body } = await client.call('clearDemoOut', {});
        return { seq: body.group.seq, text: 'Demo removed.' };
      }),
  };
}
