import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callHere, DEMO, start } from './program.ts';

let root: string;
/** The book that is served, by a process of its own. */
let served: string;
let server: ReturnType<typeof start>;

async function answer(...words: readonly string[]) {
  const { code, out, err } = await callHere([...words, '--json']);
  expect([code, err]).toEqual([0, '']);
  return JSON.parse(out);
}
async function refused(...words: readonly string[]) {
  const { code, out, err } = await callHere([...words, '--json']);
  expect(out).toBe('');
  return { exit: code, ...JSON.parse(err).fault };
}
const at = (folder: string) => ['--folder', folder];
const newest = async () => (await answer('book', ...at(served))).seq;
const ownerFile = () => join(served, 'book.owner.json');

beforeAll(async () => {
  root = mkdtempSync(join(tmpdir(), 'kneadwell-beside-'));
  served = join(root, 'served');
  server = start(['serve', '--folder', served, '--port', '0'], root);
  const [first] = await once(server.stdout!, 'data');
  expect(String(first)).toContain('http://127.0.0.1:');
});
afterAll(async () => {
  server.kill('SIGTERM');
  await once(server, 'close');
  rmSync(root, { recursive: true, force: true });
});

describe('beside a server that has the book open', () => {
  it('an export goes in whole, photos too, and a second time changes nothing', async () => {
    const other = join(root, 'other');
    const photo = join(root, 'tray.png');
    const plain = { width: 8, height: 8, channels: 3, background: '#8a9b6c' } as const;
    writeFileSync(photo, await sharp({ create: plain }).png().toBuffer());
    await answer('add', 'line', 'name=Saltmarsh', ...at(other));
    await answer('add', 'block', 'name=Kelp', 'line=Saltmarsh', ...at(other));
    await answer('add', 'photo', photo, ...at(other));
    const out = join(root, 'export');
    await answer('export', '--out', out, ...at(other));
    const first = await answer('import', out, ...at(served));
    expect(first).toMatchObject({ as: 'export', fresh: 3, replaced: 0, same: 0 });
    expect(await answer('import', out, ...at(served))).toMatchObject({ fresh: 0, same: 3 });
    expect(await newest()).toBe(first.seq);
    const again = join(root, 'again');
    await answer('export', '--out', again, ...at(served));
    expect(readFileSync(join(again, 'book.json'))).toEqual(readFileSync(join(out, 'book.json')));
    const { troubles, looseFiles } = await answer('verify', ...at(served));
    expect([troubles, looseFiles]).toEqual([[], []]);
  });

  it('an export that clashes is refused as a whole', async () => {
    const book = JSON.parse(readFileSync(join(root, 'export', 'book.json'), 'utf8'));
    for (const record of book.records) if (record.kind === 'line') record.body.name = 'Brindle';
    const line = book.records.find(({ kind }: { kind: string }) => kind === 'line');
    book.records.push({ ...line, id: 'fresh-one', body: { ...line.body, name: 'Lantern' } });
    const file = join(root, 'clash.json');
    writeFileSync(file, JSON.stringify(book));
    const before = await newest();
    expect(await refused('import', file, ...at(served))).toMatchObject({
      code: 'import-clash',
      exit: 4,
    });
    expect(await newest()).toBe(before);
    expect((await answer('list', 'line', ...at(served))).total).toBe(1);
  });

  it('what is learned from its readings is kept in it, and can be asked', async () => {
    await answer('import', DEMO[0], '--line', 'Saltmarsh', ...at(served));
    await answer('learn', '--book', ...at(served));
    const { records } = await answer('list', 'clay-model', ...at(served));
    expect(records).toHaveLength(1);
    const { clays, learnedFrom, name } = records[0].body;
    expect(name).toMatch(/^Learned on \d{4}-\d\d-\d\d$/);
    expect(clays.every(({ blockId }: { blockId?: string }) => blockId !== undefined)).toBe(true);
    expect(learnedFrom.length).toBeGreaterThan(20);
    const predicted = await callHere(['predict', '--book', '--of', '1 Kelp', ...at(served)]);
    expect(predicted.code).toBe(0);
  });

  it('its pass is for the eyes of its owner, and in no message', async () => {
    expect(statSync(ownerFile()).mode & 0o777).toBe(0o600);
    const { pass } = JSON.parse(readFileSync(ownerFile(), 'utf8'));
    expect(pass.length).toBeGreaterThan(40);
    const fault = await refused('restore', join(root, 'nothing.zip'), ...at(served));
    const doctor = await answer('doctor', ...at(served));
    expect(JSON.stringify([fault, doctor])).not.toContain(pass);
  });

  it.each([
    ['nobody answers at its address', (owner: object) => ({ ...owner, url: 'http://127.0.0.1:9' })],
    ['another answers there', (owner: object) => ({ ...owner, pass: 'x'.repeat(43) })],
  ])('says what to do where %s', async (_, change) => {
    const owner = readFileSync(ownerFile(), 'utf8');
    writeFileSync(ownerFile(), JSON.stringify(change(JSON.parse(owner))));
    try {
      const fault = await refused('import', join(root, 'export'), ...at(served));
      expect(fault).toMatchObject({ code: 'folder-in-use', exit: 4, retry: true });
      expect(fault.detail).toContain('cannot be reached at http://127.0.0.1:');
      expect(fault.hint).toContain('Do this where that one runs, or end it first.');
    } finally {
      writeFileSync(ownerFile(), owner);
    }
  });
});
