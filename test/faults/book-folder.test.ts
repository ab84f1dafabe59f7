import { spawn } from 'node:child_process';
import {
  chmodSync,
  copyFileSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openBook } from '../../src/book/book.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { checkBook } from '../../src/book/check-book.ts';
import { savePhoto } from '../../src/book/save-file.ts';
import { undoInBook } from '../../src/book/undo-change.ts';
import { seededChance } from '../../src/core/numeric/seeded-chance.ts';
import { type FolderOptions, openBookFolder } from '../../src/store/book-folder.ts';
import { MIGRATIONS } from '../../src/store/migrations.ts';
import { APPLICATION_ID, openSqliteBook } from '../../src/store/sqlite-book-store.ts';
import { block, line, mix } from '../conformance/book-maker.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneadwell-fault-'));
});
afterEach(() => {
  chmodSync(folder, 0o700);
  rmSync(folder, { recursive: true, force: true });
});
const bookFile = () => join(folder, 'book.sqlite');

async function withBook<T>(
  work: (book: ReturnType<typeof openBook>) => Promise<T>,
  options: FolderOptions = {},
): Promise<T> {
  const open = await openBookFolder(folder, options);
  try {
    return await work(openBook(open.ports));
  } finally {
    await open.close();
  }
}

const began = () =>
  withBook((book) =>
    changeBook(book, {
      what: 'Began',
      steps: [line('l'), block('b', 'l'), mix('m', [['block', 'b', 1]])],
    }),
  );

/** The whole content of a book, to see that an error changed nothing. */
const said = () =>
  withBook(async (book) => {
    const { troubles } = await checkBook(book);
    expect(troubles).toEqual([]);
    return [
      await book.ports.store.rows('', 1000),
      await book.ports.store.groups({ after: 0 }, 1000),
    ];
  });

/** Runs the writing child until `stop` is true; returns what it acknowledged. */
function writing(from: number, stop: (acknowledged: number) => boolean, limitBlocks?: number) {
  const child = join(import.meta.dirname, 'book-child.ts');
  const node = [process.execPath, '--import', 'tsx', child, folder, String(from)];
  const [command, ...args] =
    limitBlocks === undefined
      ? node
      : ['bash', '-c', `ulimit -f ${limitBlocks}; exec "$@"`, 'bash', ...node];
  const running = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  const lines: string[] = [];
  let rest = '';
  running.stdout.setEncoding('utf8');
  running.stdout.on('data', (text: string) => {
    const parts = (rest + text).split('\n');
    rest = parts.pop() ?? '';
    lines.push(...parts);
    if (stop(lines.length)) running.kill('SIGKILL');
  });
  let complaint = '';
  running.stderr.on('data', (text) => {
    complaint += text;
  });
  return new Promise<{ lines: string[]; signal: string | null; complaint: string }>((resolve) => {
    running.on('close', (_, signal) => resolve({ lines, signal, complaint }));
  });
}

describe('a process killed while it writes', () => {
  it('loses nothing it acknowledged, and keeps no half of a change', async () => {
    const chance = seededChance(41);
    const acknowledged: number[] = [];
    for (let round = 0; round < 3; round++) {
      const until = 1 + Math.floor(chance.uniform() * 40);
      const { lines, signal, complaint } = await writing(1000 * round, (n) => n >= until);
      expect(signal, complaint).toBe('SIGKILL');
      acknowledged.push(...lines.map(Number));
      await withBook(async (book) => {
        expect((await checkBook(book)).troubles).toEqual([]);
        const rows = await book.ports.store.rows('', 10_000, 'mix');
        const ids = new Set(rows.map(({ record }) => record.id));
        for (const i of acknowledged)
          for (const part of [0, 1, 2]) expect(ids).toContain(`m${i}-${part}`);
        expect(ids.size % 3).toBe(0);
      });
    }
    expect(acknowledged.length).toBeGreaterThan(3);
  });

  it('holds the folder while it lives, and not a moment longer', async () => {
    let seen: unknown;
    const child = writing(0, (n) => {
      if (n < 3 || seen !== undefined) return n >= 3 && seen !== undefined;
      seen = openBookFolder(folder).catch((fault) => fault);
      void (seen as Promise<unknown>).then(() => undefined);
      return false;
    });
    await child;
    expect(await seen).toMatchObject({ code: 'folder-in-use', kind: 'conflict' });
    await withBook(async (book) => expect((await checkBook(book)).troubles).toEqual([]));
  });
});

describe('a disk that is full', () => {
  it.skipIf(process.platform === 'win32')(
    'is reported in one error, and all acknowledged changes are there',
    async () => {
      // Blocks of 1024 bytes a file may have; the system refuses more.
      const { lines, complaint } = await writing(0, () => false, 600);
      const kept = lines.filter((text) => /^\d+$/.test(text)).map(Number);
      expect(kept.length, complaint).toBeGreaterThan(3);
      expect(lines[lines.length - 1]).toMatch(/^fault (disk-full|disk-trouble)$/);
      await withBook(async (book) => {
        expect((await checkBook(book)).troubles).toEqual([]);
        expect((await book.ports.store.counts()).get('mix')?.live).toBe(3 * kept.length);
        await changeBook(book, { what: 'On', steps: [mix('on', [['block', 'b', 1]])] });
      });
    },
  );
});

describe('the Nth statement failing', () => {
  it('leaves nothing half-written, whichever N', async () => {
    await began();
    const before = await said();
    let failed = 0;
    for (let nth = 1; ; nth++) {
      let count = Number.NEGATIVE_INFINITY;
      const options: FolderOptions = {
        beforeStatement: () => {
          if (++count === nth)
            throw new Database.SqliteError('disk I/O error', 'SQLITE_IOERR_FSYNC');
        },
      };
      const fault = await withBook(async (book) => {
        await book.index.ready;
        count = 0;
        const work = changeBook(book, {
          what: 'More',
          steps: [
            mix('m', [['block', 'b', 2]], { tags: ['x'] }, 1),
            mix('n', [['mix', 'm', 1]], { code: 'N' }),
          ],
        });
        const outcome = await work.then(
          () => undefined,
          (thrown) => thrown,
        );
        count = Number.NEGATIVE_INFINITY;
        if (outcome === undefined) return undefined;
        // Until the book is opened again, it does not trust the disk.
        const next = changeBook(book, { what: 'x', steps: [line('x')] });
        await expect(next).rejects.toMatchObject({ code: 'disk-trouble' });
        return outcome;
      }, options);
      if (fault === undefined) break;
      failed++;
      expect(fault).toMatchObject({ code: 'disk-trouble', kind: 'unavailable' });
      expect(await said()).toEqual(before);
    }
    expect(failed).toBeGreaterThan(10);
  });

  it('of a photo leaves no file under its name, and no record', async () => {
    await began();
    const bytes = new TextEncoder().encode('a photo');
    const body = { mediaType: 'image/png' as const };
    for (const step of ['write', 'flush', 'rename', 'flush folder'] as const) {
      const options: FolderOptions = {
        beforeFileStep: (at) => {
          if (at === step) throw Object.assign(new Error('no room'), { code: 'ENOSPC' });
        },
      };
      await withBook(async (book) => {
        const kept = savePhoto(book, { bytes, body, what: 'Photo', id: 'p' });
        await expect(kept).rejects.toMatchObject({ code: 'disk-full', retry: true });
        expect(await book.ports.store.get('p')).toBeUndefined();
      }, options);
      // After the rename the file is whole; only its record is missing, which does no harm.
      const left = readdirSync(join(folder, 'photos'));
      expect(left.length).toBe(step === 'flush folder' ? 1 : 0);
    }
    await withBook((book) => savePhoto(book, { bytes, body, what: 'Photo', id: 'p' }));
    await withBook(async (book) =>
      expect(await checkBook(book)).toMatchObject({ troubles: [], files: 1 }),
    );
    writeFileSync(join(folder, 'photos', readdirSync(join(folder, 'photos'))[0]), 'other bytes');
    await withBook(async (book) => {
      const { troubles } = await checkBook(book);
      expect(troubles).toHaveLength(1);
      expect(troubles[0]).toContain('damaged');
    });
  });
});

describe('a power cut', () => {
  it('at any length of the log leaves a whole book of some moment', async () => {
    await began();
    const open = await openBookFolder(folder);
    const book = openBook(open.ports);
    for (let i = 0; i < 8; i++) {
      await changeBook(book, { what: `${i}`, steps: [mix(`n${i}`, [['block', 'b', 1]])] });
    }
    const [main, log] = [readFileSync(bookFile()), readFileSync(`${bookFile()}-wal`)];
    await open.close();
    const chance = seededChance(3);
    let least = 9;
    for (let cut = 0; cut < 12; cut++) {
      const at = Math.floor(chance.uniform() * log.length);
      const copy = mkdtempSync(join(tmpdir(), 'kneadwell-cut-'));
      try {
        writeFileSync(join(copy, 'book.sqlite'), main);
        // The rest of the log never reached the disk, or reached it as rubbish.
        const torn = Buffer.from(log);
        if (cut % 2 === 0) torn.fill(0xa5, at);
        writeFileSync(join(copy, 'book.sqlite-wal'), cut % 2 === 0 ? torn : log.subarray(0, at));
        const after = await openBookFolder(copy);
        const { troubles } = await checkBook(openBook(after.ports));
        const seq = await after.ports.store.lastSeq();
        const mixes = (await after.ports.store.counts()).get('mix')?.live ?? 0;
        await after.close();
        expect(troubles).toEqual([]);
        // As many mixes as changes: every change whole.
        expect(mixes).toBe(seq);
        least = Math.min(least, seq);
      } finally {
        rmSync(copy, { recursive: true, force: true });
      }
    }
    expect(least).toBeLessThan(9);
  });
});

describe('a book that is not as expected', () => {
  it('written by a newer program is left alone', async () => {
    await began();
    const raw = new Database(bookFile());
    raw.pragma(`user_version = ${MIGRATIONS.length + 1}`);
    raw.close();
    await expect(openBookFolder(folder)).rejects.toMatchObject({
      code: 'book-newer',
      kind: 'conflict',
    });
    // The lock was released.
    await expect(openBookFolder(folder)).rejects.toMatchObject({ code: 'book-newer' });
  });

  it.each(MIGRATIONS.map(({ name }, i) => [i + 1, name] as const))(
    'of schema %i (%s), filled, opens and keeps what it held',
    async (upTo) => {
      await began();
      const rows = (await said())[0];
      const older = await openSqliteBook(join(folder, 'older.sqlite'), { upTo });
      await older.close();
      fillFrom(join(folder, 'older.sqlite'), bookFile());
      copyFileSync(join(folder, 'older.sqlite'), bookFile());
      for (const ending of ['-wal', '-shm']) rmSync(bookFile() + ending, { force: true });
      expect((await said())[0]).toEqual(rows);
      await withBook((book) => undoInBook(book));
    },
  );

  it('whose derived rows are of an older version derives them again', async () => {
    await began();
    const raw = new Database(bookFile());
    raw.exec(
      "update meta set value = '0'; update record set words = 'old', sort_name = ''; delete from link",
    );
    raw.close();
    await said();
  });

  it('half-way through a migration that faults, is as it was before', async () => {
    const older = await openSqliteBook(bookFile(), { upTo: 1 });
    await older.close();
    const nth = { count: 0 };
    const faulty = openSqliteBook(bookFile(), {
      before: (sql) => {
        if (/create unique index "group_key"/.test(sql) && nth.count++ === 0) {
          throw new Database.SqliteError('full', 'SQLITE_FULL');
        }
      },
    });
    await expect(faulty).rejects.toMatchObject({ code: 'disk-full' });
    const raw = new Database(bookFile());
    expect(raw.pragma('user_version', { simple: true })).toBe(1);
    expect(raw.pragma('application_id', { simple: true })).toBe(APPLICATION_ID);
    raw.close();
    await (await openSqliteBook(bookFile())).close();
  });

  it('but no book at all, or another program’s, is refused and left alone', async () => {
    writeFileSync(bookFile(), 'This is a letter, not a mix book. '.repeat(40));
    await expect(openBookFolder(folder)).rejects.toMatchObject({ code: 'book-damaged' });
    rmSync(bookFile());
    const raw = new Database(bookFile());
    raw.exec('create table songs (title text)');
    raw.close();
    const before = readFileSync(bookFile());
    await expect(openBookFolder(folder)).rejects.toMatchObject({
      code: 'not-a-book',
      kind: 'bad-input',
    });
    expect(readFileSync(bookFile()).equals(before)).toBe(true);
  });

  it('with flipped bits is seen by the check, or answers rightly', async () => {
    await began();
    await withBook((book) =>
      changeBook(book, {
        what: 'Many',
        steps: Array.from({ length: 300 }, (_, i) =>
          mix(`x${i}`, [['block', 'b', 1]], { note: 'n'.repeat(200) }),
        ),
      }),
    );
    const whole = readFileSync(bookFile());
    const chance = seededChance(9);
    let seen = 0;
    for (let i = 0; i < 10; i++) {
      writeFileSync(bookFile(), whole);
      const file = openSync(bookFile(), 'r+');
      const at = 100 + Math.floor(chance.uniform() * (whole.length - 200));
      writeSync(
        file,
        Buffer.from(whole.subarray(at, at + 60).map((byte) => byte ^ 0x55)),
        0,
        60,
        at,
      );
      try {
        const open = await openBookFolder(folder);
        try {
          const { troubles } = await checkBook(openBook(open.ports));
          if (troubles.length > 0) seen++;
        } finally {
          await open.close();
        }
      } catch (fault) {
        expect(fault).toMatchObject({ code: expect.stringMatching(/^[a-z-]+$/) });
        seen++;
      }
    }
    expect(seen).toBeGreaterThan(5);
  });
});

/** Copies the data that an older schema shares with a newer book, column by column. */
function fillFrom(older: string, newer: string): void {
  const raw = new Database(older);
  raw.prepare('attach ? as newer').run(newer);
  for (const table of ['record', 'link', 'tag', 'journal_group', 'journal_entry']) {
    const columns = (raw.pragma(`table_info(${table})`) as { name: string }[]).map(
      ({ name }) => `"${name}"`,
    );
    // The one column that has another name in a later schema.
    const now = columns.map((name) => (name === '"binned_at"' ? '"deleted_at"' : name));
    raw.exec(`insert into ${table} (${columns}) select ${now} from newer.${table}`);
  }
  raw.close();
}

describe('a folder that goes away while its book is open', () => {
  it.each([
    ['renamed', () => renameSync(folder, `${folder}-moved`)],
    ['deleted', () => rmSync(folder, { recursive: true })],
    [
      'replaced by a copy',
      () => {
        renameSync(folder, `${folder}-moved`);
        cpSync(`${folder}-moved`, folder, { recursive: true });
      },
    ],
  ])('and is %s: no change is said to be saved', async (_how, go) => {
    await began();
    const open = await openBookFolder(folder);
    const book = openBook(open.ports);
    try {
      go();
      for (let i = 0; i < 6; i++) {
        const steps = [mix(`g${i}`, [['block', 'b', 1]])];
        await expect(changeBook(book, { what: 'Gone', steps })).rejects.toMatchObject({
          code: 'book-gone',
          kind: 'unavailable',
          detail: expect.stringContaining('was not saved'),
        });
      }
    } finally {
      await open.close().catch(() => {});
      rmSync(`${folder}-moved`, { recursive: true, force: true });
      mkdirSync(folder, { recursive: true });
    }
  });

  it.each([
    ['log was deleted', 'book-gone', () => rmSync(join(folder, 'book.sqlite-wal'))],
    [
      'file was cut short',
      'book-damaged',
      () =>
        truncateSync(
          join(folder, 'book.sqlite'),
          statSync(join(folder, 'book.sqlite')).size - 1000,
        ),
    ],
  ])('and comes back, but its %s: no change is said to be saved', async (_how, code, go) => {
    await began();
    const open = await openBookFolder(folder);
    const book = openBook(open.ports);
    try {
      const saved = [mix('there', [['block', 'b', 1]])];
      await changeBook(book, { what: 'Saved', steps: saved });
      go();
      for (let i = 0; i < 3; i++) {
        const steps = [mix(`g${i}`, [['block', 'b', 1]])];
        await expect(changeBook(book, { what: 'Gone', steps })).rejects.toMatchObject({
          code,
          detail: expect.stringContaining('was not saved'),
        });
      }
    } finally {
      await open.close().catch(() => {});
    }
    if (code !== 'book-gone') return;
    const again = await openBookFolder(folder);
    expect(await again.ports.store.get('there')).toBeDefined();
    await again.close();
  });

  it('takes no photo any more, and says why', async () => {
    await began();
    const open = await openBookFolder(folder);
    try {
      rmSync(folder, { recursive: true });
      const { files } = open.ports;
      await expect(files.put(new Uint8Array([1]), 'png')).rejects.toMatchObject({
        code: 'file-not-kept',
      });
      await expect(files.get('0'.repeat(64))).rejects.toMatchObject({ code: 'file-missing' });
    } finally {
      await open.close().catch(() => {});
      mkdirSync(folder, { recursive: true });
    }
  });

  it('in the middle of a change: the change is not said to be saved', async () => {
    await began();
    const open = await openBookFolder(folder);
    try {
      const saving = open.ports.store.transact(async () => renameSync(folder, `${folder}-moved`));
      await expect(saving).rejects.toMatchObject({ code: 'book-gone' });
    } finally {
      await open.close().catch(() => {});
      rmSync(`${folder}-moved`, { recursive: true, force: true });
      mkdirSync(folder, { recursive: true });
    }
  });
});

describe('a book with something in it that no book has', () => {
  it.each([
    ['a trigger', 'create trigger t after insert on record begin delete from tag; end'],
    ['a view', 'create view v as select * from record'],
    ['an index', 'create index more on record (body)'],
    ['a table', 'create table more (x)'],
    ['a column', 'alter table record add column more text'],
    ['an index less', 'drop index record_life'],
  ])('%s is not opened, and is left as it is', async (_what, sql) => {
    await began();
    const raw = new Database(bookFile());
    raw.exec(sql);
    raw.close();
    const before = readFileSync(bookFile());
    await expect(openBookFolder(folder)).rejects.toMatchObject({ code: 'book-altered' });
    expect(readFileSync(bookFile()).equals(before)).toBe(true);
  });
});
