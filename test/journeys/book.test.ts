import { once } from 'node:events';
import {
  existsSync,
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
import sharp from 'sharp';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { call, callHere, DEMO, demoStudio, start } from './program.ts';

let root: string;
let folder: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'kneadwell journey '));
  folder = join(root, 'book');
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

/** A call on the book that has to succeed; what it said. */
async function said(...words: string[]): Promise<string> {
  const { code, out, err } = await callHere([...words, '--folder', folder]);
  expect([code, err]).toEqual([0, '']);
  return out;
}
const answer = async (...words: string[]) => JSON.parse(await said(...words, '--json'));
async function refused(...words: string[]) {
  const { code, out, err } = await callHere([...words, '--folder', folder, '--json']);
  expect(out).toBe('');
  const { fault } = JSON.parse(err);
  expect(fault.detail).not.toMatch(/\berror|invalid|undefined|NaN|!/i);
  return { exit: code, ...fault };
}

async function began() {
  await said('add', 'line', 'name=Saltmarsh', 'bakeLowC=125', 'bakeHighC=135');
  await said('add', 'block', 'name=Foam', 'line=Saltmarsh', 'densityGPerCm3=1.7');
  await said(
    'add',
    'block',
    'name=Kelp',
    'line=saltmarsh',
    'price.minor=250',
    'price.currency=EUR',
  );
  await said('add', 'short-name', 'F', 'of=Foam');
  await said('add', 'short-name', 'K', 'of=Kelp');
}

describe('a book from nothing', () => {
  it('is typed in shorthand, shown, listed, undone and done again', async () => {
    await began();
    expect(await said('add', 'K7 sea moss: 3K 1F #weeds // a little pale')).toContain(
      'Saved K7 sea moss',
    );
    await said('add', 'K8 wet moss: 4K7 1K');
    const shown = await said('show', 'k 8');
    expect(shown).toContain('The mix K8 wet moss');
    expect(shown).toContain('4 sea moss, 1 Kelp');
    // 4/5 of (3/4 Kelp + 1/4 Foam) + 1/5 Kelp = 80 % and 20 %.
    expect(shown).toMatch(/80\.0 % {2}Kelp\n +20\.0 % {2}Foam/);
    expect(await said('list', 'mixes', '--tag', 'weeds')).toContain('K7');
    expect((await answer('list', 'mix', '--search', 'moss')).total).toBe(2);
    expect(await said('undo')).toBe('Undid: Saved K8 wet moss: 4K7 1K\n');
    expect((await answer('list', 'mix')).total).toBe(1);
    expect(await said('redo')).toBe('Redid: Saved K8 wet moss: 4K7 1K\n');
    expect(
      (await answer('show', 'K8', '--history')).history.map(({ sort }: { sort: string }) => sort),
    ).toEqual(['redo', 'undo', 'change']);
    expect((await answer('list', 'changes')).changes).toHaveLength(9);
    expect(await said('book')).toContain('2  mixes');
  });

  it('keeps any kind of record by its fields, and finds what they name', async () => {
    await began();
    const tile = await answer('add', 'tile', 'code=T1', 'of=Kelp', 'thicknessMm=3,5');
    expect(tile.records[0].body).toMatchObject({ code: 'T1', thicknessMm: 3.5, state: 'baked' });
    const reading = await answer('add', 'reading', 'of=T1', 'lab.values=41.2,-24.5,18.1');
    expect(reading.records[0].body.lab).toEqual({
      values: [41.2, -24.5, 18.1],
      light: 'D50',
      observer: 2,
    });
    await said('add', 'stock-entry', 'of=Foam', 'changeG=57');
    expect(await said('list', 'stock')).toMatch(/Foam +57\.0 g/);
    expect(await said('list', 'reading')).toContain('a reading of T1');
    expect(await said('list', 'stock-entry')).toContain('a stock entry of Foam');
    const plain = { width: 8, height: 8, channels: 3, background: '#8a9b6c' } as const;
    writeFileSync(join(root, 'tray.png'), await sharp({ create: plain }).png().toBuffer());
    await said('add', 'photo', join(root, 'tray.png'), 'name=Tray 1');
    expect((await answer('verify')).files).toBe(1);
  });

  it('takes a page of an old book, and rows of a spreadsheet, all lines or none', async () => {
    await began();
    const page = join(root, 'page.txt');
    writeFileSync(page, '// greens\nK1: 2K 1F\nK2 pale: 1K1 3F\n\nK3: 5F ½K\n');
    expect(await said('import', page, '--check')).toContain(
      '3 mixes can be read; nothing was saved',
    );
    expect(await said('import', page)).toContain('3 mixes saved');
    const sheet = join(root, 'sheet.tsv');
    writeFileSync(
      sheet,
      'code\tname\tKelp\tFoam\ttags\nS1\tshade\t4\t1\tweeds\nS2\tlight\t1\t6\t\n',
    );
    expect(await said('import', sheet)).toContain('2 mixes saved');
    const wrong = join(root, 'wrong.txt');
    writeFileSync(wrong, 'K4: 2K\nK5: 2Kelpp\nK6: 2Q\n');
    const fault = await refused('import', wrong);
    expect(fault).toMatchObject({ code: 'shorthand-unreadable', exit: 2 });
    expect(fault.more.errors.map(({ line }: { line: number }) => line)).toEqual([2, 3]);
    expect((await answer('list', 'mix')).total).toBe(5);
  });

  it('takes readings, once each, and answers from them', async () => {
    expect(await refused('import', DEMO[0])).toMatchObject({ code: 'clay-not-in-book', exit: 2 });
    const first = await answer('import', DEMO[0], '--line', 'Saltmarsh');
    expect(first).toMatchObject({ as: 'readings', blocks: 10, same: 0 });
    expect(await answer('import', DEMO[0])).toMatchObject({ readings: 0, same: first.readings });
    // What was imported as whole parts is shown as whole parts, and no 0.9411764705882353.
    expect(await said('nearest', '60,-20,20', '--top', '50', '--book')).toMatch(
      /16 Foam \+ 1 Mussel/,
    );
    const near = ['nearest', '60,-20,20', '--top', '3', '--json'];
    const { out } = await callHere([...near, '--in', DEMO[0]]);
    const tiles = JSON.parse(
      await said('nearest', '60,-20,20', '--top', '3', '--book', '--json'),
    ).tiles;
    const fromFile = JSON.parse(out).tiles;
    expect(tiles.map(({ tile }: { tile: string }) => tile)).toEqual(
      fromFile.map(({ tile }: { tile: string }) => tile),
    );
    for (const [i, { dE00 }] of tiles.entries()) expect(dE00).toBeCloseTo(fromFile[i].dE00, 9);
  });

  it('learns from its readings and predicts as from files', async () => {
    await said('import', ...DEMO, '--line', 'Saltmarsh');
    expect(await refused('predict', '--book', '--of', 'Kelp')).toMatchObject({
      code: 'no-clay-model',
      exit: 3,
    });
    await said('learn', '--book');
    const clay = join(root, 'clay.json');
    expect((await callHere(['learn', ...DEMO, '--out', clay])).code).toBe(0);
    const of = ['--of', '1 Kelp + 3 Foam', '--json'];
    const fromBook = JSON.parse(await said('predict', '--book', ...of)).lab;
    const fromFile = JSON.parse((await callHere(['predict', clay, ...of])).out).lab;
    for (const [i, value] of fromBook.entries()) expect(value).toBeCloseTo(fromFile[i], 6);
    expect(await said('show', 'Learned on')).toContain('The clay model');
    expect((await answer('verify')).troubles).toEqual([]);
  });

  it('says what is wrong in one sentence, and how to mend it', async () => {
    expect(await refused('book')).toMatchObject({ code: 'no-book', exit: 3 });
    expect(existsSync(folder)).toBe(false);
    await began();
    expect(await refused('learn', '--book')).toMatchObject({
      code: 'nothing-to-learn',
      detail: 'There is no reading to learn from.',
    });
    expect(await refused('show', 'nobody')).toMatchObject({ code: 'not-in-book', exit: 3 });
    expect(await refused('add', 'block', 'nome=x')).toMatchObject({
      code: 'field-unreadable',
      exit: 2,
    });
    expect(await refused('add', 'block', 'name=x', 'line=none')).toMatchObject({
      code: 'not-in-book',
      hint: expect.stringContaining('"kneadwell add line"'),
    });
    expect(await refused('add', 'block', 'line=Saltmarsh')).toMatchObject({
      code: 'bad-change',
      exit: 2,
    });
    expect(await refused('undo', '99')).toMatchObject({ code: 'nothing-to-undo', exit: 3 });
    expect(await refused('list', 'whales')).toMatchObject({ code: 'call-unreadable', exit: 2 });
    expect(await refused('restore', join(root, 'none.zip'))).toMatchObject({ exit: 3 });
    writeFileSync(join(root, 'letter.zip'), 'Dear all');
    expect(await refused('restore', join(root, 'letter.zip'))).toMatchObject({
      code: 'not-a-backup',
      exit: 2,
    });
    expect(await refused('verify', join(root, 'letter.zip'))).toMatchObject({
      code: 'not-a-backup',
    });
  });
});

describe('doctor', () => {
  it('sees a folder not there, a book without a backup, one with, and a damaged one', async () => {
    expect(await said('doctor')).toContain('There is no folder');
    await began();
    expect(await said('doctor')).toMatch(/There is no backup in .* yet/);
    await said('backup');
    const sound = await said('doctor');
    expect(sound).toContain('Nothing needs mending');
    expect(sound).toContain('The newest of 1 backups');
    const [backup] = readdirSync(join(folder, 'backups'));
    writeFileSync(join(folder, 'backups', backup), 'torn');
    writeFileSync(join(folder, 'book.sqlite'), 'This is a letter, not a mix book. '.repeat(99));
    const { code, out } = await callHere(['doctor', '--json', '--folder', folder]);
    expect(code).toBe(5);
    const { findings } = JSON.parse(out);
    const broken = findings.filter(({ status }: { status: string }) => status === 'broken');
    expect(broken).toHaveLength(2);
    for (const { mend } of broken) expect(mend).toMatch(/restore|backup/);
  });
});

describe('the drill of losing everything', () => {
  let studio: string;
  beforeAll(async () => {
    studio = mkdtempSync(join(tmpdir(), 'kneadwell drill '));
    await demoStudio(studio);
  });
  afterAll(() => rmSync(studio, { recursive: true, force: true }));
  const demo = () => ['--folder', join(studio, 'demo')];

  it('lets a find know the lines, prices and stock of the book', async () => {
    const { code, out } = await callHere([
      ...['find', '--book', '--aim', '#8a9b6c', '--at-least', '50 % Saltmarsh'],
      ...['--batch', '40', '--json', ...demo()],
    ]);
    expect(code).toBe(0);
    const { recipes } = JSON.parse(out);
    expect(recipes).toHaveLength(10);
    const records = async (kind: string) =>
      JSON.parse((await callHere(['list', kind, '--top', '100', '--json', ...demo()])).out).records;
    const line = (await records('line')).find(
      (record: { body: { name: string } }) => record.body.name === 'Saltmarsh',
    );
    const strong = (await records('block'))
      .filter(({ body }: { body: { lineId: string } }) => body.lineId === line.id)
      .map(({ body }: { body: { name: string } }) => body.name);
    for (const { parts } of recipes as { parts: Record<string, number> }[]) {
      const sum = (names: readonly string[]) =>
        names.reduce((all, name) => all + (parts[name] ?? 0), 0);
      expect(sum(strong) / sum(Object.keys(parts))).toBeGreaterThanOrEqual(0.5);
    }
    const { code: unknown, err } = await callHere([
      ...['find', '--book', '--aim', '#8a9b6c', '--at-least', '50 % Saltmarch', ...demo()],
    ]);
    expect(unknown).toBe(2);
    expect(err).toContain('Saltmarsh');
    for (const { priceMinorPerKg } of recipes) expect(priceMinorPerKg).toBeGreaterThan(0);
  });

  it('holds what it says: lines, blocks, mixes, a learned clay model', async () => {
    const { out } = await callHere(['book', '--json', ...demo()]);
    const live = Object.fromEntries(
      JSON.parse(out).counts.map(({ kind, live }: { kind: string; live: number }) => [kind, live]),
    );
    expect(live).toMatchObject({
      line: 3,
      block: 50,
      mix: 60,
      'clay-model': 1,
      palette: 4,
      figure: 6,
    });
    const blocks = JSON.parse(
      (await callHere(['list', 'block', '--top', '100', '--json', ...demo()])).out,
    );
    const of = (line: string) =>
      blocks.records.filter(({ body }: { body: { lineId: string } }) => body.lineId === line)
        .length;
    expect([of('saltmarsh'), of('brindle'), of('lantern')]).toEqual([14, 28, 8]);
    // The call that takes it away again names the folder it was made in.
    const answer = (await callHere(['demo', '--folder', studio])).out;
    expect(answer).toContain(`npx kneadwell demo --gone --folder "${studio}"`);
    const again = await callHere(['demo', '--json', '--folder', studio]);
    expect(JSON.parse(again.out)).toMatchObject({ made: false });
  });

  it('gives the same exports byte for byte after backup, wipe and restore', async () => {
    const exported = async (name: string, as: string) => {
      const out = join(root, name);
      const { code, err } = await callHere(['export', '--out', out, '--as', as, ...demo()]);
      expect([code, err]).toEqual([0, '']);
      return filesOf(out);
    };
    const before = [await exported('one', 'json'), await exported('two', 'csv')];
    expect([...before[0].keys()].some((name) => name.startsWith('photos/'))).toBe(true);
    const backup = join(root, 'all.zip');
    expect((await callHere(['backup', '--to', backup, ...demo()])).code).toBe(0);
    expect(JSON.parse((await callHere(['verify', backup, '--json'])).out).troubles).toEqual([]);
    rmSync(join(studio, 'demo', 'book.sqlite'));
    rmSync(join(studio, 'demo', 'photos'), { recursive: true });
    expect((await callHere(['book', ...demo()])).code).toBe(3);
    expect((await callHere(['restore', backup, ...demo()])).code).toBe(0);
    expect([await exported('three', 'json'), await exported('four', 'csv')]).toEqual(before);
    // And the exports themselves make the same book again.
    for (const [i, name] of ['one', 'two'].entries()) {
      folder = join(root, `from-${name}`);
      await said('import', join(root, name));
      await said('export', '--out', join(root, `again-${name}`), '--as', i === 0 ? 'json' : 'csv');
      expect(filesOf(join(root, `again-${name}`))).toEqual(before[i]);
      expect((await answer('verify')).troubles).toEqual([]);
    }
  });

  it('is gone in one step, and takes nothing else with it', async () => {
    const mine = join(root, 'mine');
    mkdirSync(join(mine, 'demo'), { recursive: true });
    writeFileSync(join(mine, 'demo', 'letter.txt'), 'mine');
    const kept = await callHere(['demo', '--gone', '--json', '--folder', mine]);
    expect(JSON.parse(kept.err).fault).toMatchObject({ code: 'not-a-demo' });
    expect(existsSync(join(mine, 'demo', 'letter.txt'))).toBe(true);
    const gone = await callHere(['demo', '--gone', '--folder', studio]);
    expect(gone.out).toContain('gone');
    expect(existsSync(join(studio, 'demo'))).toBe(false);
    expect((await callHere(['demo', '--gone', '--folder', studio])).out).toContain('no demo');
  });
});

describe('beside a running server', () => {
  it('the command line speaks to it, backs up and verifies, and replaces nothing', async () => {
    await began();
    const server = start(['serve', '--folder', folder, '--port', '0'], root);
    try {
      let heard = '';
      let trouble = '';
      server.stderr.on('data', (text) => {
        trouble += text;
      });
      await new Promise<void>((resolve, reject) => {
        server.stdout.on('data', (text) => {
          heard += text;
          if (/http:\/\/\S+/.test(heard)) resolve();
        });
        server.once('close', () => reject(new Error(`the server ended: ${trouble}`)));
      });
      expect(heard).toMatch(/On a phone: pair it at http:\S+\/settings\/devices/);
      await said('add', 'K7 sea moss: 3K 1F');
      expect(await said('show', 'K7')).toContain('sea moss');
      expect((await answer('list', 'mix')).total).toBe(1);
      expect(await said('undo')).toContain('Undid');
      expect(await said('redo')).toContain('Redid');
      expect((await answer('list', 'changes')).changes[0].sort).toBe('redo');
      expect(await said('book')).toContain('1  mix');
      const { path } = await answer('backup');
      expect((await answer('verify', path)).records).toBeGreaterThan(4);
      expect((await answer('verify')).troubles).toEqual([]);
      await said('export', '--out', join(root, 'all.json'));
      expect(readFileSync(join(root, 'all.json'), 'utf8')).toContain('sea moss');
      expect(await refused('restore', path)).toMatchObject({ code: 'folder-in-use', exit: 4 });
      expect(await said('doctor')).toContain('open in the server');
      const fault = await refused('add', 'K7 again: 1K');
      expect(fault).toMatchObject({ exit: 2 });
    } finally {
      server.kill('SIGTERM');
      await once(server, 'close');
    }
    expect((await answer('verify')).troubles).toEqual([]);
  });
});

it('the program itself, as a process, keeps and shows', () => {
  const first = call(['add', 'line', 'name=Saltmarsh', '--folder', folder], root);
  expect([first.code, first.err]).toEqual([0, '']);
  const env = call(['list', 'line', '--folder', folder], root);
  expect(env.out).toContain('Saltmarsh');
  expect(call(['show', '--help'], root).out).toMatch(/^kneadwell show/);
  expect(call(['--help'], root).out).toContain('kneadwell backup');
});

/** Every file of a folder with its bytes. */
function filesOf(at: string): ReadonlyMap<string, string> {
  const names = readdirSync(at, { recursive: true, encoding: 'utf8' }).sort();
  const files = names.filter((name) => statSync(join(at, name)).isFile());
  return new Map(files.map((name) => [name, readFileSync(join(at, name), 'latin1')]));
}
