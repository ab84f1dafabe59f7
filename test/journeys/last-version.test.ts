import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { callHere, ROOT } from './program.ts';

const MADE = join(ROOT, 'test/oracles/book-0.1.0');
const made = (name: string) => readFileSync(join(MADE, name), 'utf8');

let root: string;
let folder: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'kneadwell versions '));
  folder = join(root, 'book');
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

async function said(...words: string[]): Promise<string> {
  const { code, out, err } = await callHere(words);
  expect([code, err]).toEqual([0, '']);
  return out;
}
const ofBook = (...words: string[]) => said(...words, '--folder', folder);

async function exported(name: string): Promise<string> {
  const out = join(root, `${name}.json`);
  await ofBook('export', '--out', out);
  return readFileSync(out, 'utf8');
}

describe('what version 0.1.0 wrote (regression)', () => {
  it('opens as a book, with every record and its history, and goes on being changed', async () => {
    cpSync(join(MADE, 'book'), folder, { recursive: true });
    const changes = () => ofBook('list', 'changes', '--json', '--top', '500');
    expect(await exported('before')).toBe(made('export.json'));
    expect(await changes()).toBe(made('changes.json'));
    expect(await ofBook('show', 'K8', '--history', '--json')).toBe(made('k8-history.json'));
    expect(await ofBook('verify')).not.toContain('missing');

    const mixes = async () => JSON.parse(await ofBook('list', 'mix', '--json')).total;
    const had = await mixes();
    await ofBook('add', 'K10 tidal moss: 2K 3F');
    expect(await mixes()).toBe(had + 1);
    await ofBook('undo');
    expect(await mixes()).toBe(had);
    const before = JSON.parse(made('changes.json')).changes;
    const now = JSON.parse(await changes()).changes;
    expect(now.map(({ seq }: { seq: number }) => seq).slice(0, 2)).toEqual([
      before[0].seq + 2,
      before[0].seq + 1,
    ]);
    expect(now.slice(2)).toEqual(before);
  });

  it.each(['export', 'tables'])('makes the same book of %s', async (name) => {
    await ofBook('import', join(MADE, name));
    expect(await exported('after')).toBe(made('export.json'));
  });

  it('makes the same book of a backup, with its history', async () => {
    await ofBook('restore', join(MADE, 'backup.zip'));
    expect(await exported('after')).toBe(made('export.json'));
    expect(await ofBook('list', 'changes', '--json', '--top', '500')).toBe(made('changes.json'));
  });

  it('predicts from a clay file, and from the one in the book', async () => {
    cpSync(join(MADE, 'book'), folder, { recursive: true });
    const [, , , , , read] = made('readings.csv').split('\n');
    const [, of, , ...lab] = read.split(',');
    expect(of).toBe('1 Kelp + 3 Foam');
    const measured = lab.slice(0, 3).map(Number) as [number, number, number];
    const told = JSON.parse(await said('predict', join(MADE, 'clay.json'), '--of', of, '--json'));
    // The tile is one of those the file was learnt from, read with 0.5 units of noise an axis.
    expect(deltaE2000(told.lab, measured)).toBeLessThan(1.5);
    const inBook = JSON.parse(await ofBook('predict', '--book', '--of', of, '--json'));
    // Tiles in another order are summed in another order.
    expect(deltaE2000(inBook.lab, told.lab)).toBeLessThan(1e-9);
  });
});
