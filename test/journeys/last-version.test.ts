import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { deltaE2000 } from '../../src/core/colour/difference.ts';
import { recordsFromBookJson } from '../../src/formats/book-json.ts';
import { call, callHere, ROOT } from './program.ts';

const MADE = join(ROOT, 'test/oracles/book-0.1.0');
const made = (name: string) => readFileSync(join(MADE, name), 'utf8');
/** What the export of version 0.1.0 is today: the lines below, written out by hand. */
const today = () =>
  [
    ['"format":"kneadwell-book","version":1', '"format":"kneadwell-book","version":2'],
    ['"kind":"movement"', '"kind":"stock-entry"'],
    ['"binnedAt":', '"deletedAt":'],
    ['"got":', '"readingKind":'],
    ['"sort":', '"clayType":'],
    ['"status":"kept"', '"status":"saved"'],
    ['"learntFrom":', '"learnedFrom":'],
    ['"learntOn":', '"learnedOn":'],
    ['"parents":', '"clays":'],
    ['"signs":', '"shortNames":'],
    ['"sign":', '"shortName":'],
  ].reduce((text, [was, is]) => text.replaceAll(was, is), made('export.json'));
/** Keys of a record are in order of their letters, so a renamed one moves. */
const sorted = (text: string) => JSON.parse(text).records;

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

/** The book of version 0.1.0, opened once so that it is brought up. */
function upgradedBook(): string {
  cpSync(join(MADE, 'book'), folder, { recursive: true });
  const { code, err } = call(['book', '--folder', folder], root);
  expect(code).toBe(0);
  return err;
}

async function exported(name: string): Promise<string> {
  const out = join(root, `${name}.json`);
  await ofBook('export', '--out', out);
  return readFileSync(out, 'utf8');
}

describe('what version 0.1.0 wrote (regression)', () => {
  it('opens as a book, with every record and its history, and goes on being changed', async () => {
    upgradedBook();
    const changes = () => ofBook('list', 'changes', '--json', '--top', '500');
    expect(sorted(await exported('before'))).toEqual(sorted(today()));
    expect(await changes()).toBe(made('changes.json'));
    expect(JSON.parse(await ofBook('show', 'K8', '--history', '--json'))).toEqual(
      JSON.parse(made('k8-history.json').replaceAll('"status":"kept"', '"status":"saved"')),
    );
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

  it('is copied before it is brought up, once, and the message names the copy', async () => {
    const notice = upgradedBook();
    const [copy, ...more] = readdirSync(folder).filter((name) => name.startsWith('book-before-'));
    expect(more).toEqual([]);
    expect(copy).toMatch(/^book-before-\d+\.\d+\.\d+-\d{4}-\d{2}-\d{2}\.sqlite$/);
    expect(notice).toContain(copy);
    expect(statSync(join(folder, copy)).mode & 0o777).toBe(0o600);
    const tables = (path: string) => {
      const raw = new Database(path, { readonly: true });
      try {
        return ['record', 'journal_entry', 'journal_group', 'link', 'tag', 'meta'].map((table) =>
          raw.prepare(`select * from ${table} order by 1, 2`).all(),
        );
      } finally {
        raw.close();
      }
    };
    expect(tables(join(folder, copy))).toEqual(tables(join(MADE, 'book/book.sqlite')));
    await ofBook('add', 'K10 tidal moss: 2K 3F');
    expect(readdirSync(folder).filter((name) => name.startsWith('book-before-'))).toEqual([copy]);
  });

  it('can be undone: changes of before, of renamed kinds and fields', async () => {
    upgradedBook();
    const shown = async (id: string) => JSON.parse(await ofBook('show', id, '--json')).record;
    const stock = '0838f41a-607e-41e7-a462-624e3ca9cd53';
    for (const seq of [14, 6, 5, 10]) await ofBook('undo', String(seq));
    expect(await shown(stock)).toMatchObject({ kind: 'stock-entry', version: 2 });
    expect(await shown(stock)).toHaveProperty('deletedAt');
    expect((await shown('settings')).body.shortNames).toEqual([
      { shortName: 'K', of: { kind: 'block', id: 'b2341567-83b6-455a-8e74-2f09142ac35b' } },
    ]);
    await ofBook('redo', '6');
    expect(await shown(stock)).not.toHaveProperty('deletedAt');
    await ofBook('redo', '11');
    expect((await shown('K9')).body).toMatchObject({ status: 'saved' });
    expect(await ofBook('verify')).toContain('is sound');
  });

  it.each(['export', 'tables'])('makes the same book of %s', async (name) => {
    await ofBook('import', join(MADE, name));
    expect(sorted(await exported('after'))).toEqual(sorted(today()));
  });

  it('makes the same book of tables with columns taken out of them', async () => {
    const tables = join(root, 'tables');
    cpSync(join(MADE, 'tables'), tables, { recursive: true });
    const line = readFileSync(join(tables, 'line.csv'), 'utf8').split('\n');
    const fewer = line.map((row) => row.split(',').toSpliced(5, 1).join(','));
    expect(fewer[0]).not.toContain('binnedAt');
    writeFileSync(join(tables, 'line.csv'), fewer.join('\n'));
    await ofBook('import', tables);
    expect(sorted(await exported('after'))).toEqual(sorted(today()));
  });

  it('makes the same book of a backup, with its history', async () => {
    await ofBook('restore', join(MADE, 'backup.zip'));
    expect(sorted(await exported('after'))).toEqual(sorted(today()));
    expect(await ofBook('list', 'changes', '--json', '--top', '500')).toBe(made('changes.json'));
    expect(readdirSync(folder).filter((name) => name.startsWith('book-before'))).toEqual([]);
  });

  it('predicts and finds by a clay file what version 0.1.0 did by the same file', async () => {
    const clay = join(MADE, 'clay.json');
    const was = JSON.parse(made('predicted.json'));
    const is = JSON.parse(await said('predict', clay, '--of', was.of, '--json'));
    // Digits enough to see another model, few enough for another order of summing.
    const rounded = (values: readonly number[]) => values.map((value) => value.toPrecision(9));
    expect(rounded(is.lab)).toEqual(rounded(was.lab));
    // Since 0.2.0 every direction holds at least 3 % of the whole variance more.
    const variance: number[] = was.cov.flat();
    const bent = 0.03 * (variance[0] + variance[4] + variance[8]);
    expect(rounded(is.cov.flat())).toEqual(
      rounded(variance.map((value, i) => value + (i % 4 === 0 ? bent : 0))),
    );
    const [before, now] = [
      JSON.parse(made('found.json')),
      JSON.parse(await said('find', clay, '--aim', '61,-23,22', '--order', 'closest', '--json')),
    ].map(({ recipes }: { recipes: { parts: object; lab: number[] }[] }) =>
      recipes.map(({ parts, lab }) => ({ parts, lab: rounded(lab) })),
    );
    expect(now).toEqual(before);
  });

  it('is the demo studio of today', () => {
    const [was, is] = ['test/oracles/book-0.1.0/demo.json', 'data/demo/book.json'].map((name) =>
      recordsFromBookJson(readFileSync(join(ROOT, name), 'utf8'), name),
    );
    // The studio was given another name since.
    const settings = was.findIndex(({ kind }) => kind === 'settings');
    expect(was[settings].body).toMatchObject({ studio: 'The Rockpool Shelf' });
    // A figure to plan came in since.
    const old = new Set(was.map(({ id }) => id));
    const since = is.filter(({ id }) => !old.has(id));
    expect(since.map(({ kind }) => kind)).toEqual(['figure']);
    const settingsNow = is.findIndex(({ kind }) => kind === 'settings');
    const isOld = is.toSpliced(settingsNow, 1).filter(({ id }) => old.has(id));
    expect(was.toSpliced(settings, 1)).toEqual(isOld);
  });

  it('is found and taken away as a demo folder, which it was made as', async () => {
    const demo = join(folder, 'demo');
    mkdirSync(folder);
    cpSync(join(MADE, 'book'), demo, { recursive: true });
    writeFileSync(join(demo, 'kneadwell-demo.json'), '{"madeWith":"kneadwell 0.1.0"}\n');
    expect(call(['demo', '--folder', folder], root).code).toBe(0);
    expect(JSON.parse(await ofBook('demo', '--json'))).toMatchObject({ made: false });
    await ofBook('demo', '--gone');
    expect(readdirSync(folder)).toEqual([]);
  });

  it('predicts from a clay file, and from the one in the book', async () => {
    upgradedBook();
    const [, , , , , read] = made('readings.csv').split('\n');
    const [, of, , ...lab] = read.split(',');
    expect(of).toBe('1 Kelp + 3 Foam');
    const measured = lab.slice(0, 3).map(Number) as [number, number, number];
    const answer = JSON.parse(await said('predict', join(MADE, 'clay.json'), '--of', of, '--json'));
    // The tile is one of those the file was learned from, read with 0.5 units of noise an axis.
    expect(deltaE2000(answer.lab, measured)).toBeLessThan(1.5);
    const inBook = JSON.parse(await ofBook('predict', '--book', '--of', of, '--json'));
    // Tiles in another order are summed in another order.
    expect(deltaE2000(inBook.lab, answer.lab)).toBeLessThan(1e-9);
  });
});
