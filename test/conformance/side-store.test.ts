import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { ServerStateStore } from '../../src/book/server-state.ts';
import { openServerStateStore } from '../../src/store/server-state-store.ts';
import { memorySideStore } from './memory-side-store.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneadwell-side-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const opened: [string, () => ServerStateStore & { close?: () => void }][] = [
  ['in memory', memorySideStore],
  ['on the disk', () => openServerStateStore(join(folder, 'side.sqlite'))],
];

describe.each(opened)('what a server keeps beside the book, %s', (_, open) => {
  it('comes back as it was put, by space and key', async () => {
    const side = open();
    await side.put('job', 'b', { n: 2 });
    await side.put('job', 'a', { n: 1, list: ['ü', null] });
    await side.put('device', 'a', 'other');
    await side.put('job', 'b', { n: 3 });
    expect(await side.get('job', 'b')).toEqual({ n: 3 });
    expect(await side.list('job')).toEqual([
      { key: 'a', value: { n: 1, list: ['ü', null] } },
      { key: 'b', value: { n: 3 } },
    ]);
    await side.remove('job', 'a');
    expect(await side.get('job', 'a')).toBeUndefined();
    expect(await side.get('device', 'a')).toBe('other');
    side.close?.();
  });
});

it.skipIf(process.platform === 'win32')(
  'nobody but the owner can read the file and its log',
  async () => {
    const side = openServerStateStore(join(folder, 'side.sqlite'));
    await side.put('job', 'a', 1);
    const modes = readdirSync(folder).map((name) => statSync(join(folder, name)).mode & 0o077);
    expect(modes).toEqual([0, 0, 0]);
    side.close();
  },
);

describe('a damaged side store', () => {
  it('is set aside and started again, and says so', async () => {
    const path = join(folder, 'side.sqlite');
    writeFileSync(path, 'no database '.repeat(500));
    const side = openServerStateStore(path);
    expect(side.startedEmpty).toBe(true);
    await side.put('job', 'a', 1);
    side.close();
    const again = openServerStateStore(path);
    expect(again.startedEmpty).toBe(false);
    expect(await again.get('job', 'a')).toBe(1);
    again.close();
    expect(readdirSync(folder)).toContain('side.sqlite.damaged');
  });
});
