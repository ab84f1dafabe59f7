import { expect, it } from 'vitest';
import type { PhotoWork } from '../book/photo/photo-work.ts';
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
}, 60_000);
