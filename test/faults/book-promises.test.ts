import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { openBook } from '../../src/book/book.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { checkBook } from '../../src/book/check-book.ts';
import { savePhoto } from '../../src/book/save-file.ts';
import { apiClient } from '../../src/client/api-client.ts';
import { startServer } from '../../src/main/serve.ts';
import { openBookFolder } from '../../src/store/book-folder.ts';
import { checkBackup, restoreBackup } from '../../src/store/restore-backup.ts';
import { writeBackup } from '../../src/store/write-backup.ts';
import { block, line, mix } from '../conformance/book-maker.ts';
import { callHere } from '../journeys/program.ts';

let root: string;
let folder: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'kneadwell-promise-'));
  folder = join(root, 'book');
});
afterEach(() => rmSync(root, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);

/** A book of one change and a photo, and as many changes more. */
async function began(changes = 0, where = folder): Promise<void> {
  const open = await openBookFolder(where);
  const book = openBook(open.ports);
  await changeBook(book, { what: 'Began', steps: [line('l'), block('b', 'l')] });
  await savePhoto(book, {
    bytes: new TextEncoder().encode('bytes of a picture'),
    body: { mediaType: 'image/png' },
    what: 'Photo',
  });
  for (let i = 0; i < changes; i++) {
    await changeBook(book, { what: `${i}`, steps: [mix(`m${i}`, [['block', 'b', 1]])] });
  }
  await open.close();
}

/** Opens a book that cannot be changed, and sees that it can be read. */
async function readOnlyAt(where: string, code: string, mixes: number): Promise<string> {
  const notices: string[] = [];
  const open = await openBookFolder(where, { onNotice: (sentence) => notices.push(sentence) });
  try {
    const book = openBook(open.ports);
    expect((await open.ports.store.counts()).get('mix')?.live ?? 0).toBe(mixes);
    expect(open.readOnly).toMatchObject({ code });
    await expect(
      changeBook(book, { what: 'More', steps: [mix('more', [['block', 'b', 1]])] }),
    ).rejects.toMatchObject({ code, kind: 'unavailable' });
    expect(notices).toHaveLength(1);
    return notices[0];
  } finally {
    await open.close();
  }
}

describe('what is not a whole book', () => {
  it.each([
    ['empty', () => writeFileSync(at('book.sqlite'), '')],
    ['missing', () => rmSync(at('book.sqlite'))],
    ['cut short by 1,000 bytes', () => cut(1000)],
    ['cut short by a page', () => cut(4096)],
  ])('%s: is not opened, and no new book takes its place', async (_how, harm) => {
    await began(20);
    harm();
    const names = readdirSync(folder);
    const before = existsSync(at('book.sqlite')) ? readFileSync(at('book.sqlite')) : undefined;
    await expect(openBookFolder(folder)).rejects.toMatchObject({
      code: 'book-damaged',
      hint: expect.stringContaining('restore'),
    });
    const after = existsSync(at('book.sqlite')) ? readFileSync(at('book.sqlite')) : undefined;
    expect(after).toEqual(before);
    expect(readdirSync(folder).sort()).toEqual(names.sort());
    const { code, out } = await callHere(['doctor', '--folder', folder]);
    expect([code, out]).toEqual([5, expect.stringMatching(/empty|missing|cut short/)]);
  });

  it('a folder with nothing of a book in it is one to begin in', async () => {
    mkdirSync(folder);
    writeFileSync(at('book.sqlite'), '');
    await began();
  });

  function cut(bytes: number): void {
    truncateSync(at('book.sqlite'), statSync(at('book.sqlite')).size - bytes);
  }
});

describe('changes that were said to be saved and are gone', () => {
  /** Twenty changes in the log alone, and the log lost. */
  async function lost(): Promise<void> {
    await began();
    const open = await openBookFolder(folder);
    const book = openBook(open.ports);
    const main = readFileSync(at('book.sqlite'));
    for (let i = 0; i < 20; i++) {
      await changeBook(book, { what: `${i}`, steps: [mix(`m${i}`, [['block', 'b', 1]])] });
    }
    const number = readFileSync(at('book.newest'));
    await open.close();
    writeFileSync(at('book.sqlite'), main);
    writeFileSync(at('book.newest'), number);
  }

  it('are reported, and the book is open for reading until the owner decides', async () => {
    await lost();
    expect(await readOnlyAt(folder, 'book-lost-changes', 0)).toContain('20 changes');
    const verify = await callHere(['verify', '--folder', folder]);
    expect([verify.code, verify.err]).toEqual([5, expect.stringContaining('20 changes')]);
    const doctor = await callHere(['doctor', '--folder', folder]);
    expect([doctor.code, doctor.out]).toEqual([5, expect.stringContaining('20 changes')]);
    // The way on.
    rmSync(at('book.newest'));
    const open = await openBookFolder(folder);
    expect(open.readOnly).toBeUndefined();
    await open.close();
  });

  it('are not told of a book that was restored from an older backup', async () => {
    await began();
    const open = await openBookFolder(folder);
    const { path } = await open.backups.make();
    const steps = [mix('m', [['block', 'b', 1]])];
    await changeBook(openBook(open.ports), { what: 'More', steps });
    await open.close();
    await restoreBackup({ from: path, folder, nowEpochMs: Date.now() });
    const again = await openBookFolder(folder);
    expect(again.readOnly).toBeUndefined();
    expect(await again.ports.store.lastSeq()).toBe(2);
    await again.close();
  });

  it('are not reported where a change was refused', async () => {
    await began();
    const open = await openBookFolder(folder);
    const steps = [mix('x', [['block', 'nothing', 1]])];
    await expect(changeBook(openBook(open.ports), { what: 'Bad', steps })).rejects.toMatchObject({
      code: 'leans-on-nothing',
    });
    await open.close();
    expect(readFileSync(at('book.newest'), 'utf8').trim()).toBe('2');
  });
});

describe('a backup with something hidden in its book', () => {
  it('is not restored, and the book that is there stays', async () => {
    await began();
    const changed = join(root, 'changed.sqlite');
    copyFileSync(at('book.sqlite'), changed);
    const raw = new Database(changed);
    raw.exec('create trigger t after insert on record begin delete from tag; end');
    raw.close();
    const to = join(root, 'hidden.zip');
    await writeBackup({
      to,
      copyBook: async (path) => copyFileSync(changed, path),
      photoFolder: at('photos'),
      madeWith: 'test',
      nowEpochMs: 0,
    });
    const fault = { code: 'backup-damaged', detail: expect.stringContaining('trigger t') };
    await expect(checkBackup(to, join(root, 'look'))).rejects.toMatchObject(fault);
    await expect(restoreBackup({ from: to, folder, nowEpochMs: 0 })).rejects.toMatchObject(fault);
    const open = await openBookFolder(folder);
    expect((await checkBook(openBook(open.ports))).troubles).toEqual([]);
    await open.close();
  });
});

describe.skipIf(process.platform === 'win32')('a book is read by its owner alone', () => {
  const others = (path: string) => statSync(path).mode & 0o077;
  const all = () => [
    folder,
    ...(readdirSync(folder, { recursive: true }) as string[]).map((name) => at(name)),
  ];

  it('from the beginning, with photos, backups and exports of the open book', async () => {
    await began(1);
    const open = await openBookFolder(folder);
    await open.backups.make();
    expect(all().map((path) => [path, others(path)])).toEqual(all().map((path) => [path, 0]));
    await open.close();
  });

  it('and from now on where it was open to others', async () => {
    await began(1);
    for (const path of all()) chmodSync(path, statSync(path).isDirectory() ? 0o755 : 0o644);
    await (await openBookFolder(folder)).close();
    expect(all().map((path) => [path, others(path)])).toEqual(all().map((path) => [path, 0]));
  });

  it('but a folder with more in it than a book is left as it is', async () => {
    await began();
    writeFileSync(at('shopping list.txt'), 'clay');
    chmodSync(folder, 0o755);
    chmodSync(at('book.sqlite'), 0o644);
    await (await openBookFolder(folder)).close();
    expect([others(folder), others(at('book.sqlite'))]).toEqual([0o055, 0]);
  });
});

describe('a folder opened', () => {
  it('has nothing left of a restore nobody decided on', async () => {
    await began();
    mkdirSync(at('.restoring-0123456789abcdef/photos'), { recursive: true });
    await (await openBookFolder(folder)).close();
    expect(readdirSync(folder).filter((name) => name.startsWith('.restoring'))).toEqual([]);
  });
});

describe('a backup into a folder that is not there', () => {
  it('is refused, as the disk it should go to may not be connected', async () => {
    await began();
    const to = join(root, 'disk', 'book.zip');
    const { code, err } = await callHere(['backup', '--to', to, '--folder', folder]);
    expect([code, err]).toEqual([3, expect.stringContaining('connect that disk')]);
    expect(existsSync(join(root, 'disk'))).toBe(false);
  });
});

/** A small disk of its own; making one takes rights that not every machine gives. */
const disk = mkdtempSync(join(tmpdir(), 'kneadwell-disk-'));
const system = (...words: string[]) =>
  spawnSync('bash', ['-c', 'exec "$@"', 'bash', ...words], { stdio: 'ignore' }).status === 0;
const mount = (...words: string[]) => system('mount', ...words);
const hasDisk =
  process.platform === 'linux' && mount('-t', 'tmpfs', '-o', 'size=3m', 'tmpfs', disk);

describe.skipIf(!hasDisk)('a disk without room, or one that can only be read', () => {
  const book = join(disk, 'book');
  const fill = () => {
    try {
      for (let i = 0; ; i++) writeFileSync(join(disk, `fill-${i}`), new Uint8Array(4096));
    } catch (thrown) {
      expect(thrown).toMatchObject({ code: 'ENOSPC' });
    }
  };
  beforeAll(async () => {
    await began(3, book);
    const open = await openBookFolder(book);
    await savePhoto(openBook(open.ports), {
      bytes: new Uint8Array(100_000),
      body: { mediaType: 'image/png' },
      what: 'Large',
    });
    await open.close();
  });
  afterEach(() => {
    mount('-o', 'remount,rw', disk);
    for (const name of readdirSync(disk))
      if (name !== 'book') rmSync(join(disk, name), { recursive: true });
  });
  afterAll(() => {
    system('umount', disk);
    rmSync(disk, { recursive: true, force: true });
  });

  it('full: the book is open for reading, can be backed up elsewhere, and goes on with room', async () => {
    fill();
    expect(await readOnlyAt(book, 'disk-full', 3)).toContain('reading only');
    const open = await openBookFolder(book);
    const to = join(root, 'elsewhere.zip');
    expect(await open.backups.make({ to })).toMatchObject({ path: to });
    await open.close();
    rmSync(join(disk, 'fill-0'));
    for (const name of readdirSync(disk)) if (name.startsWith('fill')) rmSync(join(disk, name));
    const again = await openBookFolder(book);
    expect(again.readOnly).toBeUndefined();
    await again.close();
  });

  it('full: the book is served', async () => {
    fill();
    const notices: string[] = [];
    const server = await startServer(book, {
      port: 0,
      version: '0.0.0',
      dailyBackups: false,
      onNotice: (sentence) => notices.push(sentence),
      onTrouble: () => {},
    });
    try {
      expect(await server.book.ports.store.lastSeq()).toBe(6);
      expect(notices.join()).toContain('reading only');
    } finally {
      await server.close();
    }
  });

  it('full: an export is not said to be made, and the book is not blamed', async () => {
    fill();
    // Room for the records and not for the photo.
    for (let i = 0; i < 12; i++) rmSync(join(disk, `fill-${i}`));
    for (const as of ['json', 'csv']) {
      const out = join(disk, 'out');
      const { code, err } = await callHere(['export', '--as', as, '--out', out, '--folder', book]);
      expect(code).toBe(5);
      expect(err).toMatch(/full/);
      expect(existsSync(out)).toBe(false);
    }
  });

  it('to be read only: the book is served, and a change is refused with words', async () => {
    expect(mount('-o', 'remount,ro', disk)).toBe(true);
    const notices: string[] = [];
    const server = await startServer(book, {
      port: 0,
      version: '0.0.0',
      onNotice: (sentence) => notices.push(sentence),
      onTrouble: () => {},
    });
    try {
      const client = apiClient({ baseUrl: server.url });
      const { records } = (await client.call('listRecords', { query: { kind: 'photo' } })).body;
      const large = records.find((one) => one.kind === 'photo' && one.body.bytes === 100_000);
      const call = { params: { id: large!.id } };
      expect((await client.call('photoBytes', call)).body).toHaveLength(100_000);
      const body = { kind: 'collection', body: { name: 'Not saved' } } as const;
      const refused = await client.call('makeRecord', { body }).catch((fault: unknown) => fault);
      expect(refused).toMatchObject({ code: 'book-read-only' });
      expect(notices.join()).toContain('reading only');
      expect(await server.book.ports.store.lastSeq()).toBe(6);
    } finally {
      await server.close();
    }
  });

  it('to be read only: the book is read, and the doctor advises no restore', async () => {
    expect(mount('-o', 'remount,ro', disk)).toBe(true);
    expect(await readOnlyAt(book, 'book-read-only', 3)).toContain('reading only');
    const { code, out } = await callHere(['doctor', '--folder', book, '--json']);
    expect(code).toBe(5);
    const broken = JSON.parse(out).findings.filter(
      ({ status, what }: { status: string; what: string }) =>
        // The disk of this test is a small one.
        status === 'broken' && !what.includes('free on its disk'),
    );
    expect(broken).toHaveLength(1);
    expect(broken[0].what).toContain('cannot be written to');
    expect(broken[0].mend).not.toContain('restore');
  });
});
