import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { wordsOf } from './change.ts';
import { client } from './client.ts';
import { type JobHere, useJob } from './job.ts';
import { showNotice } from './notice.ts';
import { queries } from './queries.ts';

export interface DemoHere {
  /** The book is empty, so that the demo can be loaded. */
  readonly offered: boolean;
  readonly inside: number;
  /** Records of the user's own that use clays of the demo. */
  readonly leaning: number;
  readonly busy: boolean;
  /** Builds the clay model of the demo once the demo is loaded. */
  readonly learning: JobHere;
  readonly load: () => Promise<void>;
  readonly remove: () => Promise<void>;
}

/** The demo studio in this book: load it, and remove it again. */
export function useDemo(): DemoHere {
  const [busy, setBusy] = useState(false);
  // Under `counts`, so that every change of the book fetches it again.
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
    load: () =>
      run(async () => {
        const { body } = await client.call('moveDemoIn', {});
        learning.start({ do: 'learn', name: 'Learned from the demo tiles' });
        return { seq: body.group.seq, text: 'Demo loaded.' };
      }),
    remove: () =>
      run(async () => {
        const { body } = await client.call('clearDemoOut', {});
        return { seq: body.group.seq, text: 'Demo removed.' };
      }),
  };
}
