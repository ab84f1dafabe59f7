import { expect, it } from 'vitest';
import type { PhotoWork } from '../book/photo/photo-work.ts';
import { AppError } from '../core/errors.ts';
import { workThreads } from './work-threads.ts';

it('looks at a photo before it reads those that wait, and one that fails holds none', async () => {
  const threads = workThreads('a test');
  const photo = new TextEncoder().encode('no photo at all');
  const call = { sheet: 'any' as const, chart: 'none' as const, taps: [], controls: [] };
  const read = (fileName: string) =>
    ({ verb: 'read-photo', fileName, photo, call }) as const satisfies PhotoWork;
  const ended: string[] = [];
  const asked = [
    read('first'),
    read('second'),
    read('third'),
    { verb: 'look-at-photo', fileName: 'look', photo } as const,
  ].map((work) =>
    threads.ask(work, {}).catch((fault) => {
      expect(fault).toMatchObject({ kind: 'bad-input' });
      ended.push(work.fileName);
    }),
  );
  await Promise.all(asked);
  await threads.close();
  expect(ended).toEqual(['first', 'look', 'second', 'third']);
});

it('looks at a backup while the threads for jobs are taken', async () => {
  const threads = workThreads('a test');
  const stop = new AbortController();
  const text = `${'N '.repeat(999)}\n`.repeat(524);
  const words = { shortNames: [] };
  let ended = 0;
  const notes = Array.from({ length: 12 }, () =>
    threads.ask({ verb: 'read-notes', text, words }, { signal: stop.signal }).then(
      () => ended++,
      () => {},
    ),
  );
  const look = { verb: 'check-backup', path: 'no/such.zip', beside: 'no/such' } as const;
  await expect(threads.ask(look, {})).rejects.toBeInstanceOf(AppError);
  expect(ended).toBeLessThan(10);
  stop.abort();
  await Promise.all(notes);
  await threads.close();
});
