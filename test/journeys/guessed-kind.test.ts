import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { block, line } from '../conformance/book-maker.ts';
import { done, type Running, running } from '../server/running.ts';
import { callHere, DEMO, ROOT } from './program.ts';

let run: Running;
const folder = mkdtempSync(join(tmpdir(), 'kneadwell kinds '));
beforeAll(async () => {
  run = await running();
  const steps = [line('salt', 'Saltmarsh'), block('kelp', 'salt', { name: 'Kelp' })];
  await run.client.call('makeChange', { body: { what: 'Began', steps: steps as never } });
});
afterAll(async () => {
  await run.end();
  rmSync(folder, { recursive: true, force: true });
});

const BANDS = Array.from({ length: 16 }, (_, i) => 400 + 20 * i);
const FILES: readonly (readonly [what: string, kind: string, text: string])[] = [
  ['notes', 'shorthand', 'K7 moss: 3 Kelp\n'],
  ['notes with a tag, a remark and half parts', 'shorthand', 'K8: 2½ Kelp #weeds // tile of it\n'],
  ['a table of the demo', 'readings', readFileSync(DEMO[0], 'utf8')],
  ['a table by semicolons', 'readings', 'tile;of;L;a;b\nX1;Kelp;40,5;-20;15\n'],
  [
    'a table of bare wavelengths',
    'readings',
    `tile,of,${BANDS}\nX2,Kelp,${BANDS.map(() => 0.25)}\n`,
  ],
  ['an export of a book', 'export', readFileSync(`${ROOT}data/demo/book.json`, 'utf8')],
];

describe('the kind of an imported file, where nobody names it', () => {
  it.each(FILES)('is the same in a job as on the command line: %s', async (_, kind, text) => {
    const path = join(folder, 'given');
    writeFileSync(path, text);
    const job = await done(run.client, { do: 'import', fileName: 'given', text, check: true });
    expect(job.result).toMatchObject({ as: kind });
    const called = await callHere(['import', path, '--check', '--json', '--folder', run.folder]);
    expect([called.code, called.err]).toEqual([0, '']);
    expect(JSON.parse(called.out)).toMatchObject({ as: kind });
  });

  it('is refused by both for JSON that is no export', async () => {
    const path = join(folder, 'other.json');
    const text = '{"a": 1}';
    writeFileSync(path, text);
    const job = await done(run.client, { do: 'import', fileName: 'other.json', text, check: true });
    const called = await callHere(['import', path, '--check', '--json', '--folder', run.folder]);
    expect(JSON.parse(called.err).fault.code).toBe(job.problem?.code);
    expect(job.problem?.code).toBe('file-unreadable');
  });
});
