import {
  createWriteStream,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import yazl from 'yazl';
import { openBook } from '../../src/book/book.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { checkBook } from '../../src/book/check-book.ts';
import { savePhoto } from '../../src/book/save-file.ts';
import { seededChance } from '../../src/core/numeric/seeded-chance.ts';
import { canonicalJson, sha256Of } from '../../src/domain/canonical-json.ts';
import { type FolderOptions, openBookFolder } from '../../src/store/book-folder.ts';
import { readBackup } from '../../src/store/read-backup.ts';
import { checkBackup, type RestoreStep, restoreBackup } from '../../src/store/restore-backup.ts';
import type { BackupStep } from '../../src/store/write-backup.ts';
import { block, line, mix } from '../conformance/book-maker.ts';

let root: string;
let folder: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'kneadwell-backup-'));
  folder = join(root, 'book');
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

type Open = Awaited<ReturnType<typeof openBookFolder>>;

async function withFolder<T>(
  at: string,
  work: (book: ReturnType<typeof openBook>, open: Open) => Promise<T>,
  options: FolderOptions = {},
): Promise<T> {
  const open = await openBookFolder(at, options);
  try {
    return await work(openBook(open.ports), open);
  } finally {
    await open.close();
  }
}

const photo = new TextEncoder().encode('bytes of a picture');

const began = (name = 'm') =>
  withFolder(folder, async (book) => {
    await changeBook(book, {
      what: 'Began',
      steps: [line('l'), block('b', 'l'), mix(name, [['block', 'b', 1]])],
    });
    await savePhoto(book, {
      bytes: photo,
      body: { mediaType: 'image/png' },
      what: 'Photo',
      id: 'p',
    });
  });

/** The whole content of a book. */
const said = (at = folder) =>
  withFolder(at, async (book) => {
    expect((await checkBook(book)).troubles).toEqual([]);
    return [await book.ports.store.rows('', 1e6), await book.ports.store.groups({ after: 0 }, 1e6)];
  });

const backUp = (to = join(root, 'one.zip'), options: FolderOptions = {}) =>
  withFolder(folder, (_, open) => open.backups.make({ to }), options);

const restore = (from: string, before?: (step: RestoreStep) => void, at = folder) =>
  restoreBackup({
    from,
    folder: at,
    nowEpochMs: Date.UTC(2026, 0, 5),
    ...(before === undefined ? {} : { before }),
  });

describe('a backup', () => {
  it('restored into another folder is the same book, history and photos too', async () => {
    await began();
    const made = await backUp();
    expect(made.manifest).toMatchObject({ seq: 2, records: 4, files: 2, lacking: [] });
    const other = join(root, 'other');
    const { check, oldBook } = await restore(made.path, undefined, other);
    expect(oldBook).toBeUndefined();
    expect(check).toMatchObject({ troubles: [], records: 4, files: 1 });
    expect(await said(other)).toEqual(await said());
    await withFolder(other, async (book) => {
      const bytes = await book.ports.files.get(sha256Of(photo));
      expect(Buffer.from(bytes).equals(Buffer.from(photo))).toBe(true);
    });
    expect(readdirSync(other).filter((name) => /restor/.test(name))).toEqual([]);
  });

  it('made while others write holds whole changes only, and all acknowledged before it', async () => {
    await began();
    await withFolder(folder, async (book, open) => {
      let acknowledged = 0;
      let writing = true;
      const writer = (async () => {
        for (let i = 0; writing; i++) {
          const steps = [0, 1, 2].map((k) => mix(`w${i}-${k}`, [['block', 'b', 1]]));
          await changeBook(book, { what: `w${i}`, steps });
          acknowledged = i + 1;
        }
      })();
      for (let round = 0; round < 4; round++) {
        const at = acknowledged;
        const to = join(root, `busy-${round}.zip`);
        await open.backups.make({ to });
        const check = await checkBackup(to, join(root, 'look'));
        expect(check.troubles).toEqual([]);
        expect(check.manifest.seq).toBeGreaterThanOrEqual(2 + at);
        expect((check.records - 4) % 3).toBe(0);
      }
      writing = false;
      await writer;
      expect(acknowledged).toBeGreaterThan(4);
    });
  });

  it('goes on where a photo is damaged or gone, and says which it lacks', async () => {
    await began();
    const sha = sha256Of(photo);
    const kept = join(folder, 'photos', `${sha}.png`);
    writeFileSync(kept, 'other bytes');
    expect((await backUp()).manifest.lacking).toEqual([sha]);
    rmSync(kept);
    const { path, manifest } = await backUp(join(root, 'two.zip'));
    expect(manifest).toMatchObject({ lacking: [sha], files: 1 });
    await restore(path, undefined, join(root, 'other'));
  });

  it('of a damaged book is not made, so that it pushes out no good one', async () => {
    await began();
    await withFolder(folder, (book) =>
      changeBook(book, {
        what: 'Many',
        steps: Array.from({ length: 300 }, (_, i) =>
          mix(`x${i}`, [['block', 'b', 1]], { note: 'n'.repeat(300) }),
        ),
      }),
    );
    await withFolder(folder, async (_, open) => {
      const raw = new Database(join(folder, 'book.sqlite'));
      raw.pragma('wal_checkpoint(TRUNCATE)');
      // A whole page of the tree of records becomes rubbish.
      const tree = raw.prepare("select rootpage from sqlite_schema where name = 'record'").pluck();
      const page = tree.get() as number;
      raw.close();
      const bytes = readFileSync(join(folder, 'book.sqlite'));
      bytes.fill(0xa5, (page - 1) * 4096, page * 4096);
      writeFileSync(join(folder, 'book.sqlite'), bytes);
      const made = open.backups.make({ to: join(root, 'bad.zip') });
      await expect(made).rejects.toMatchObject({ code: 'book-damaged' });
    });
    expect(readdirSync(root)).toEqual(['book']);
  });

  it('takes no place that is taken', async () => {
    await began();
    const { path } = await backUp();
    const before = readFileSync(path);
    await expect(backUp(path)).rejects.toMatchObject({ code: 'out-not-free', kind: 'conflict' });
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it('whose Nth step fails leaves nothing behind', async () => {
    await began();
    const steps: BackupStep[] = ['copy', 'check', 'write', 'flush', 'read back', 'rename'];
    for (const step of steps) {
      const made = backUp(join(root, 'one.zip'), {
        beforeBackupStep: (at) => {
          if (at === step) throw Object.assign(new Error('no room'), { code: 'ENOSPC' });
        },
      });
      await expect(made).rejects.toMatchObject({ code: 'disk-full', retry: true });
      expect(readdirSync(root)).toEqual(['book']);
    }
    expect((await backUp()).bytes).toBeGreaterThan(1000);
  });
});

describe('a restore', () => {
  it('keeps the old book aside, whole', async () => {
    await began();
    const then = await said();
    const { path } = await backUp();
    await withFolder(folder, (book) =>
      changeBook(book, { what: 'Later', steps: [mix('later', [['block', 'b', 2]])] }),
    );
    const later = await said();
    const { oldBook } = await restore(path);
    expect(await said()).toEqual(then);
    expect(oldBook).toMatch(/before-restore-/);
    expect(await said(oldBook)).toEqual(later);
  });

  it('never goes over a book in use', async () => {
    await began();
    const { path } = await backUp();
    await withFolder(folder, async () => {
      await expect(restore(path)).rejects.toMatchObject({ code: 'folder-in-use' });
    });
  });

  it('stopped before the plan leaves the old book; after it, ends with the new one', async () => {
    await began('old');
    const { path } = await backUp();
    await withFolder(folder, (book) =>
      changeBook(book, { what: 'Later', steps: [mix('later', [['block', 'b', 2]])] }),
    );
    let stopped = 0;
    for (let nth = 1; ; nth++) {
      const copy = join(root, `copy-${nth}`);
      await restore(path, undefined, copy);
      await withFolder(copy, (book) =>
        changeBook(book, { what: 'Later', steps: [mix('later', [['block', 'b', 2]])] }),
      );
      let count = 0;
      let at: RestoreStep | undefined;
      const outcome = await restore(
        path,
        (step) => {
          if (++count !== nth) return;
          at = step;
          throw new Error('power');
        },
        copy,
      ).catch((fault) => fault);
      if (at === undefined) break;
      stopped++;
      expect(outcome.message).toBe('power');
      const ids = await withFolder(copy, async (book) => {
        expect((await checkBook(book)).troubles).toEqual([]);
        return (await book.ports.store.rows('', 100, 'mix')).map(({ record }) => record.id);
      });
      const decided = ['move aside', 'move in', 'forget plan'].includes(at);
      expect(ids, at).toEqual(decided ? ['old'] : ['later', 'old']);
      expect(existsSync(join(copy, 'restore.json'))).toBe(false);
      if (decided) {
        const aside = readdirSync(copy).find((name) => name.startsWith('before-restore-'));
        expect(await said(join(copy, aside ?? 'none'))).toHaveLength(2);
      }
    }
    expect(stopped).toBeGreaterThanOrEqual(7);
  });
});

describe('a backup that is not as it was', () => {
  it('torn at any length is refused in one sentence', async () => {
    await began();
    const { path } = await backUp();
    const whole = readFileSync(path);
    const chance = seededChance(5);
    for (let i = 0; i < 25; i++) {
      writeFileSync(path, whole.subarray(0, Math.floor(chance.uniform() * whole.length)));
      await refused(path);
    }
  });

  it('with a flipped bit is refused, wherever the bit matters', async () => {
    await began();
    const { path } = await backUp();
    const whole = readFileSync(path);
    const chance = seededChance(6);
    let seen = 0;
    for (let i = 0; i < 60; i++) {
      const bytes = Buffer.from(whole);
      bytes[Math.floor(chance.uniform() * bytes.length)] ^= 1 << Math.floor(chance.uniform() * 8);
      writeFileSync(path, bytes);
      const outcome = await readBackup(path).catch((fault) => fault);
      if (outcome instanceof Error) seen++;
      // Times and notes of the archive may differ, its content may not.
      else expect(outcome).toMatchObject({ seq: 2, records: 4 });
    }
    expect(seen).toBeGreaterThan(45);
  });

  it.each([
    ['a name that climbs out', '../../../../../etc/evil'],
    ['a name from the root', '/tmp/evil'],
    ['a name with a backslash', '..\\evil'],
    ['a name no backup holds', 'photos/readme.txt'],
  ])('%s is refused before anything is written', async (_, name) => {
    const path = join(root, 'hostile.zip');
    await hostile(path, (zip) => {
      const stand = 'x'.repeat(name.length);
      zip.addBuffer(Buffer.from('evil'), stand);
      return (bytes) => replaced(bytes, stand, name);
    });
    const into = join(root, 'into');
    await refused(path, into);
    expect(existsSync(into) ? readdirSync(into) : []).toEqual([]);
  });

  it('a file twice, a link, a bomb, a stranger: each is refused', async () => {
    const sha = 'a'.repeat(64);
    const cases: ((zip: yazl.ZipFile) => (bytes: Buffer) => Buffer)[] = [
      (zip) => {
        zip.addBuffer(Buffer.from('1'), `photos/${sha}.png`);
        zip.addBuffer(Buffer.from('2'), `photos/${'b'.repeat(64)}.png`);
        return (bytes) => replaced(bytes, 'b'.repeat(64), sha);
      },
      (zip) => {
        zip.addBuffer(Buffer.from('/etc/passwd'), `photos/${sha}.png`, { mode: 0o120777 });
        return (bytes) => bytes;
      },
      (zip) => {
        zip.addBuffer(Buffer.alloc(64 * 1024 * 1024), `photos/${sha}.png`);
        return (bytes) => bytes;
      },
      (zip) => {
        zip.addBuffer(Buffer.from('not named'), `photos/${sha}.png`);
        return (bytes) => bytes;
      },
    ];
    for (const [i, fill] of cases.entries()) {
      const path = join(root, `hostile-${i}.zip`);
      await hostile(path, fill);
      await refused(path);
    }
  });

  it('a manifest that says more than there is, or is of a newer program, is refused', async () => {
    for (const [change, code] of [
      [{ records: -1 }, 'backup-damaged'],
      [{ version: 2 }, 'backup-newer'],
      [{ files: [] }, 'backup-damaged'],
      [{ more: 1 }, 'backup-damaged'],
      [{ files: [{ name: 'book.sqlite', bytes: 9, sha256: 'c'.repeat(64) }] }, 'backup-damaged'],
    ] as const) {
      const path = join(root, `${code}-${JSON.stringify(change).length}.zip`);
      await hostile(path, () => (bytes) => bytes, change);
      await expect(readBackup(path)).rejects.toMatchObject({ code, kind: 'bad-input' });
    }
  });

  it('no archive at all, or a whole one that holds no book, is refused and says so', async () => {
    const path = join(root, 'letter.zip');
    writeFileSync(path, 'This is a letter.');
    await refused(path);
    await expect(readBackup(join(root, 'nothing'))).rejects.toMatchObject({ kind: 'not-found' });
    await expect(readBackup(root)).rejects.toMatchObject({ code: 'not-a-backup' });
    // Right in every checksum, and still not a book.
    await hostile(path, () => (bytes) => bytes);
    await expect(restore(path)).rejects.toMatchObject({ code: 'backup-damaged' });
    await began();
    expect(readdirSync(folder).filter((name) => /restor/.test(name))).toEqual([]);
  });
});

async function refused(path: string, into?: string) {
  const fault = await readBackup(path, into).catch((thrown) => thrown);
  expect(fault).toMatchObject({
    code: expect.stringMatching(/^(?:not-a-backup|backup-damaged)$/),
    kind: 'bad-input',
  });
  expect(fault.detail).toMatch(/^[^\n]{20,300}\.$/);
}

/**
 * An archive that is sealed correctly and holds something else than a book, with the entries of
 * `fill`.
 */
async function hostile(
  path: string,
  fill: (zip: yazl.ZipFile) => (bytes: Buffer) => Buffer,
  change: object = {},
) {
  const zip = new yazl.ZipFile();
  const book = Buffer.from('no book at all');
  const body = {
    format: 'kneadwell-backup',
    version: 1,
    madeWith: 'test',
    madeAt: '2026-01-01T00:00:00.000Z',
    schema: 2,
    seq: 0,
    records: 0,
    files: [{ name: 'book.sqlite', bytes: book.length, sha256: sha256Of(book) }],
    lacking: [],
    ...change,
  };
  const manifest = { ...body, seal: sha256Of(canonicalJson(body)) };
  zip.addBuffer(Buffer.from(JSON.stringify(manifest)), 'manifest.json');
  zip.addBuffer(book, 'book.sqlite');
  const turn = fill(zip);
  zip.end();
  await pipeline(zip.outputStream, createWriteStream(path));
  writeFileSync(path, turn(readFileSync(path)));
}

function replaced(bytes: Buffer, from: string, to: string): Buffer {
  return Buffer.from(bytes.toString('latin1').replaceAll(from, to), 'latin1');
}
