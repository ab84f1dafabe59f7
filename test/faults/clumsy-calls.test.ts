import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { AppError } from '../../src/core/errors.ts';
import { callHere, PROGRAM, ROOT } from '../journeys/program.ts';

let root: string;
let folder: string[];
beforeAll(async () => {
  root = mkdtempSync(join(tmpdir(), 'kneadwell-clumsy-'));
  folder = ['--folder', join(root, 'book')];
  await said('add', 'line', 'name=Saltmarsh');
  await said('add', 'block', 'name=Kelp', 'line=Saltmarsh');
});
afterAll(() => rmSync(root, { recursive: true, force: true }));

async function said(...words: readonly string[]) {
  const { code, out, err } = await callHere([...words, ...folder]);
  expect([code, err]).toEqual([0, '']);
  return out;
}
async function refused(...words: readonly string[]) {
  const { code, out, err } = await callHere([...words, ...folder, '--json']);
  expect(out).toBe('');
  return { exit: code, ...JSON.parse(err).fault };
}
const file = (name: string, text: string) => {
  const path = join(root, name);
  writeFileSync(path, text);
  return path;
};

describe('a clumsy call', () => {
  it('adds no record of a kind there is not, and says which is near', async () => {
    const fault = await refused('add', 'blok', 'name=Foam', 'line=Saltmarsh');
    expect(fault).toMatchObject({
      exit: 2,
      detail: '"blok" is no kind of record. Did you mean block?',
    });
  });

  it('says what kinds of record are called now', async () => {
    const short = await refused('add', 'sign', 'K', 'of=Kelp');
    expect(short).toMatchObject({ exit: 2, detail: 'sign is now called short-name.' });
    const entry = await refused('add', 'movement', 'of=Kelp', 'changeG=57');
    expect(entry.detail).toBe('movement is now called stock-entry.');
  });

  it('explains how a mix is written, where its parts are not a list', async () => {
    const fault = await refused('add', 'mix', 'code=K8', 'parts=3 Kelp');
    expect(fault).toMatchObject({ exit: 2, hint: expect.stringContaining('add "K7 sea moss: 3') });
  });

  it('keeps nothing as a photo that is none', async () => {
    const fault = await refused('add', 'photo', file('notes.jpg', 'tile,of,L,a,b\n'));
    expect(fault).toMatchObject({ exit: 2, code: 'photo-unreadable' });
    expect(await said('list', 'photo')).toContain('There are none.');
  });

  it('takes a clay file for no page of shorthand', async () => {
    const fault = await refused('import', file('clay.json', '{"format":"kneadwell-clay"}\n'));
    expect(fault.detail).toContain(
      'is JSON, but neither an export of a mix book nor a share file.',
    );
  });

  it('that names a file for a folder is refused in words', async () => {
    const path = file('plain.txt', 'x');
    const { code, err } = await callHere(['book', '--folder', path]);
    expect([code, err]).toEqual([3, expect.stringContaining('is a file, and a mix book needs')]);
    expect((await callHere(['add', 'line', 'name=x', '--folder', path])).code).toBe(5);
    expect((await callHere(['demo', '--folder', path])).code).toBe(5);
  });

  it.skipIf(!existsSync('/proc/self'))('ends where a folder cannot be made at all', async () => {
    // Node tries for ever to create this folder with its parents.
    const { code, err } = await callHere(['add', 'line', 'name=x', '--folder', '/proc/none/book']);
    expect([code, err]).toEqual([5, expect.stringContaining('cannot be made or written to')]);
  });

  it('that exports to a full disk leaves no half of it behind', async () => {
    const out = join(root, 'out');
    const { code } = await callHere(['export', '--out', out, ...folder], (shell) => ({
      ...shell,
      book: async () => {
        const book = await shell.book();
        const write = () => Promise.reject(noRoom());
        return { ...book, ports: { ...book.ports, files: { ...book.ports.files, write } } };
      },
    }));
    expect(code).toBe(5);
    expect(readdirSync(root)).not.toContain('out');
    await said('export', '--out', out);
    expect(existsSync(join(out, 'book.json'))).toBe(true);
  });

  it('to doctor, with a book of a newer version, says to install that version', async () => {
    const at = join(root, 'newer');
    mkdirSync(at);
    const raw = new Database(join(at, 'book.sqlite'));
    raw.pragma('user_version = 99');
    raw.close();
    const { out } = await callHere(['doctor', '--folder', at, '--json']);
    const mend = JSON.parse(out).findings.map(({ mend }: { mend?: string }) => mend ?? '');
    expect(mend).toContain('Install the newer program. The book was left as it is.');
    expect(mend.join()).not.toContain('restore');
  });

  it('whose trouble nobody hears still ends with its own exit code', async () => {
    const child = spawn(process.execPath, [...PROGRAM, 'bogus'], {
      cwd: ROOT,
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    child.stderr.destroy();
    const [code] = await once(child, 'close');
    expect(code).toBe(2);
  });
});

function noRoom(): AppError {
  return new AppError({
    code: 'disk-full',
    kind: 'unavailable',
    detail: 'Full.',
    hint: 'Free some.',
  });
}
