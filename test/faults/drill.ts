/**
 * What a mix book must survive, each as often as given: bench/drill.ts does many rounds, the tests
 * a few. Every drill throws where something acknowledged is lost, or a book does not open and
 * verify.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { JobCall } from '../../src/api/job-routes.ts';
import { type Book, openBook } from '../../src/book/book.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { checkBook } from '../../src/book/check-book.ts';
import { makeDailyBackup } from '../../src/book/daily-backup.ts';
import { undoInBook } from '../../src/book/undo-change.ts';
import { apiClient } from '../../src/client/api-client.ts';
import { seededChance } from '../../src/core/numeric/seeded-chance.ts';
import { startServer } from '../../src/main/serve.ts';
import { type FolderOptions, openBookFolder } from '../../src/store/book-folder.ts';
import { readBackup } from '../../src/store/read-backup.ts';
import { openSqliteBook } from '../../src/store/sqlite-book-store.ts';
import { programOf } from '../built.ts';
import { block, line, mix } from '../conformance/book-maker.ts';

const CHILD = join(import.meta.dirname, 'book-child.ts');
const NODE = [process.execPath, '--import', 'tsx', CHILD];
/** Bytes a disk writes together or not at all. */
const SECTOR = 512;
/** Bytes of a log's header. Source: sqlite.org/fileformat2.html, section 4.1 */
const LOG_HEADER = 32;

async function inFolder<T>(work: (root: string) => Promise<T>): Promise<T> {
  const root = mkdtempSync(join(tmpdir(), 'kneadwell-drill-'));
  try {
    return await work(root);
  } finally {
    rmSync(root, { recursive: true, force: true });
  }
}

function must(holds: boolean, says: string): asserts holds {
  if (!holds) throw new Error(says);
}

async function withBook<T>(
  folder: string,
  work: (book: Book, open: Awaited<ReturnType<typeof openBookFolder>>) => Promise<T>,
  options: FolderOptions = {},
): Promise<T> {
  const open = await openBookFolder(folder, options);
  try {
    return await work(openBook(open.ports), open);
  } finally {
    await open.close();
  }
}

async function sound(book: Book): Promise<void> {
  const { troubles } = await checkBook(book);
  must(troubles.length === 0, `the book does not verify: ${troubles[0]}`);
}

/** A writing child, killed at a random moment; returns its output before that. */
function killed(args: readonly string[], when: { afterMs: number; lines: number }) {
  const [command, ...rest] = [...NODE, ...args];
  const child = spawn(command, rest, { stdio: ['ignore', 'pipe', 'pipe'] });
  const lines: string[] = [];
  let left = '';
  let complaint = '';
  let timer: NodeJS.Timeout | undefined;
  child.stdout.setEncoding('utf8');
  child.stdout.on('data', (text: string) => {
    const parts = (left + text).split('\n');
    left = parts.pop() ?? '';
    lines.push(...parts);
    if (timer === undefined && lines.length >= when.lines) {
      timer = setTimeout(() => child.kill('SIGKILL'), when.afterMs);
    }
  });
  child.stderr.on('data', (text) => {
    complaint += text;
  });
  return new Promise<{ lines: string[]; signal: string | null; complaint: string }>((resolve) => {
    child.on('close', (_, signal) => {
      clearTimeout(timer);
      resolve({ lines, signal, complaint });
    });
  });
}

/** SIGKILL at random moments under write load: changes, photos and backups. */
export async function drillKills(rounds: number, seed: number) {
  return inFolder(async (folder) => {
    const chance = seededChance(seed);
    const acknowledged = { changes: new Set<string>(), photos: new Set<string>(), backups: 0 };
    for (let round = 0; round < rounds; round++) {
      const lines = 1 + Math.floor(20 * chance.uniform());
      const when = { afterMs: 30 * chance.uniform(), lines };
      const run = await killed([folder, String(10_000 * (round + 1)), 'busy'], when);
      must(
        run.signal === 'SIGKILL',
        `round ${round} was not killed: ${run.lines} ${run.complaint}`,
      );
      const backups: string[] = [];
      for (const said of run.lines) {
        if (/^\d+$/.test(said)) acknowledged.changes.add(said);
        else if (said.startsWith('photo ')) acknowledged.photos.add(said.slice(6));
        else if (said.startsWith('backup ')) backups.push(said.slice(7));
      }
      acknowledged.backups += backups.length;
      for (const path of backups) await readBackup(path);
      await withBook(folder, async (book) => {
        // The whole book is checked every tenth time, the changes of this round every time.
        if (round % 10 === 9 || round === rounds - 1) await sound(book);
        const { store } = book.ports;
        const ids = [...acknowledged.changes].flatMap((i) => [0, 1, 2].map((k) => `m${i}-${k}`));
        const photos = [...acknowledged.photos].map((i) => `p${i}`);
        const found = await store.getMany([...ids, ...photos]);
        const lost = [...ids, ...photos].filter((id) => !found.has(id));
        must(lost.length === 0, `lost after kill ${round + 1}: ${lost.slice(0, 5)}`);
        const live = (await store.counts()).get('mix')?.live ?? 0;
        must(live % 3 === 0, `half a change after kill ${round + 1}`);
      });
      // Backups made in the meantime are not needed here.
      for (const path of backups) rmSync(path, { force: true });
    }
    const { changes, photos, backups } = acknowledged;
    return { kills: rounds, changes: changes.size, photos: photos.size, backups, lost: 0 };
  });
}

const FAILURES = [
  'SQLITE_IOERR_FSYNC',
  'SQLITE_IOERR_WRITE',
  'SQLITE_FULL',
  'SQLITE_IOERR_READ',
] as const;

/** The Nth statement failing, for every N until the change goes through, in several ways. */
export async function drillNthStatement() {
  let failed = 0;
  for (const code of FAILURES) {
    await inFolder(async (folder) => {
      await withBook(folder, (book) =>
        changeBook(book, {
          what: 'Began',
          steps: [line('l'), block('b', 'l'), mix('m', [['block', 'b', 1]])],
        }),
      );
      for (let nth = 1; ; nth++) {
        let count = Number.NEGATIVE_INFINITY;
        const beforeStatement = () => {
          if (++count === nth) throw new Database.SqliteError('drill', code);
        };
        const fault = await withBook(
          folder,
          async (book) => {
            await book.index.ready;
            count = 0;
            const more = changeBook(book, {
              what: 'More',
              steps: [mix('m', [['block', 'b', 2]], {}, 1), mix('n', [['mix', 'm', 1]])],
            });
            return more.then(
              () => undefined,
              (thrown) => thrown,
            );
          },
          { beforeStatement },
        );
        await withBook(folder, async (book) => {
          await sound(book);
          const seq = await book.ports.store.lastSeq();
          must(seq === (fault === undefined ? 2 : 1), `${code} at ${nth} left half a change`);
        });
        if (fault === undefined) return;
        must(/^[a-z-]+$/.test(fault.code) && !/\n/.test(fault.detail), `${code}: ${fault}`);
        failed++;
      }
    });
  }
  return { failed };
}

/** A full disk: the system refuses every file beyond some KiB. */
export async function drillFullDisk(limitsKib: readonly number[]) {
  let kept = 0;
  for (const limit of limitsKib) {
    await inFolder(async (folder) => {
      const words = ['-c', `ulimit -f ${limit}; exec "$@"`, 'bash', ...NODE, folder, '0'];
      const child = spawn('bash', words, { stdio: ['ignore', 'pipe', 'ignore'] });
      let said = '';
      child.stdout.on('data', (text) => {
        said += text;
      });
      await new Promise((resolve) => child.on('close', resolve));
      const lines = said.trim().split('\n');
      must(/^fault (?:disk-full|disk-trouble)$/.test(lines.at(-1) ?? ''), `told: ${lines.at(-1)}`);
      const acknowledged = lines.filter((text) => /^\d+$/.test(text)).length;
      await withBook(folder, async (book) => {
        await sound(book);
        const live = (await book.ports.store.counts()).get('mix')?.live ?? 0;
        must(live === 3 * acknowledged, `${acknowledged} acknowledged, ${live / 3} there`);
      });
      kept += acknowledged;
    });
  }
  return { disks: limitsKib.length, changes: kept };
}

/** Backups cut short and with single bits flipped: never accepted as something else. */
export async function drillDamagedBackups(torn: number, flipped: number, seed: number) {
  return inFolder(async (root) => {
    const path = join(root, 'one.zip');
    const whole = await withBook(join(root, 'book'), async (book, open) => {
      await changeBook(book, {
        what: 'Began',
        steps: [
          line('l'),
          block('b', 'l'),
          ...Array.from({ length: 200 }, (_, i) => mix(`m${i}`, [['block', 'b', 1 + i]])),
        ],
      });
      await open.backups.make({ to: path });
      return readFileSync(path);
    });
    const chance = seededChance(seed);
    let refused = 0;
    let harmless = 0;
    const look = async (bytes: Uint8Array) => {
      writeFileSync(path, bytes);
      const outcome = await readBackup(path).catch((fault) => fault);
      if (outcome instanceof Error) {
        const { code, detail } = outcome as Error & { code: string; detail: string };
        must(/^(?:not-a-backup|backup-damaged|backup-newer)$/.test(code), `${outcome}`);
        must(/^[^\n]{20,400}$/.test(detail), `told: ${detail}`);
        refused++;
      } else {
        must(outcome.records === 202, 'a damaged backup was taken for another book');
        harmless++;
      }
    };
    for (let i = 0; i < torn; i++) {
      await look(whole.subarray(0, Math.floor(chance.uniform() * whole.length)));
    }
    must(harmless === 0, 'a torn backup was taken for a whole one');
    for (let i = 0; i < flipped; i++) {
      const bytes = Uint8Array.from(whole);
      bytes[Math.floor(chance.uniform() * bytes.length)] ^= 1 << Math.floor(chance.uniform() * 8);
      await look(bytes);
    }
    return { torn, flipped, refused, harmless };
  });
}

/** Processes that open one folder at once: one gets it, the others say so. */
export async function drillTwoProcesses(rounds: number) {
  let refusals = 0;
  for (let round = 0; round < rounds; round++) {
    await inFolder(async (folder) => {
      const runs = await Promise.all(
        [1, 2, 3].map((k) => killed([folder, String(k * 1000)], { afterMs: 1500, lines: 1 })),
      );
      const refused = runs.filter(({ lines }) => lines.includes('fault folder-in-use'));
      must(refused.length >= 2, `${3 - refused.length} processes had the folder at once`);
      refusals += refused.length;
      const changes = runs.flatMap(({ lines }) => lines.filter((text) => /^\d+$/.test(text)));
      await withBook(folder, async (book) => {
        await sound(book);
        const live = (await book.ports.store.counts()).get('mix')?.live ?? 0;
        must(live >= 3 * changes.length, 'a change of the owner is lost');
      });
    });
  }
  return { rounds, refusals };
}

/** A clock set back by years between changes: order, undo and backups stay right. */
export async function drillClockBack(changes: number) {
  return inFolder(async (folder) => {
    let now = Date.UTC(2030, 0, 1);
    const options: FolderOptions = { nowEpochMs: () => now };
    await withBook(
      folder,
      async (book, open) => {
        await changeBook(book, { what: 'Began', steps: [line('l'), block('b', 'l')] });
        for (let i = 0; i < changes; i++) {
          now -= 40 * 24 * 60 * 60 * 1000;
          await changeBook(book, { what: `${i}`, steps: [mix(`m${i}`, [['block', 'b', 1]])] });
          if (i % 10 !== 0) continue;
          const { made } = await makeDailyBackup(open.backups, now);
          must(made !== undefined, 'no backup was made under a clock set back');
          const backups = await open.backups.list();
          must(
            backups.some(({ path }) => path === made.path),
            'the backup just made was thinned',
          );
          must(
            (await makeDailyBackup(open.backups, now)).made === undefined,
            'a backup is due for ever',
          );
        }
        const groups = await book.ports.store.groups({}, changes);
        must(groups[0].what === `${changes - 1}`, 'the newest change is not the last one made');
        const undone = await undoInBook(book);
        must(undone.group.what.endsWith(`: ${changes - 1}`), 'another change was undone');
        await sound(book);
      },
      options,
    );
    return { changes };
  });
}

/** An older book, killed before every statement of its migration in turn. */
export async function drillMigration(most: number) {
  return inFolder(async (root) => {
    const path = join(root, 'book.sqlite');
    const older = join(root, 'older.sqlite');
    await (await openSqliteBook(older, { upTo: 1 })).close();
    const raw = new Database(older);
    raw.pragma('journal_mode = DELETE');
    raw.close();
    let kills = 0;
    for (let nth = 1; nth <= most; nth++) {
      for (const ending of ['-wal', '-shm']) rmSync(path + ending, { force: true });
      writeFileSync(path, readFileSync(older));
      const run = await killed([path, 'migrate', String(nth)], { afterMs: 0, lines: 9 });
      await (await openSqliteBook(path)).close();
      if (run.signal !== 'SIGKILL') {
        must(run.lines.length === 1, `the migration ended oddly: ${run.complaint}`);
        return { kills };
      }
      kills++;
    }
    return { kills };
  });
}

/**
 * Loss of power between two acknowledged changes: of the data written and not yet flushed, any
 * sectors reached the disk and others did not. While the log is written the book itself does not
 * change, so sectors of the log are mixed; where the log was copied into the book in between, the
 * log was flushed before, so sectors of the book are mixed under the whole log.
 */
export async function drillPowerCuts(changes: number, cutsEach: number, seed: number) {
  return inFolder(async (root) => {
    const folder = join(root, 'book');
    const chance = seededChance(seed);
    const states: { main: Buffer; log: Buffer; seq: number }[] = [];
    await withBook(folder, async (book) => {
      await changeBook(book, { what: 'Began', steps: [line('l'), block('b', 'l')] });
      const state = async () => ({
        main: readFileSync(join(folder, 'book.sqlite')),
        log: readFileSync(join(folder, 'book.sqlite-wal')),
        seq: await book.ports.store.lastSeq(),
      });
      states.push(await state());
      for (let i = 0; i < changes; i++) {
        const many = 1 + Math.floor(chance.uniform() ** 3 * 60);
        const steps = Array.from({ length: many }, (_, k) =>
          mix(`m${i}-${k}`, [['block', 'b', 1]], { note: 'n'.repeat(400) }),
        );
        await changeBook(book, { what: `${i}`, steps });
        states.push(await state());
      }
    });
    let cuts = 0;
    let checkpoints = 0;
    let kept = 0;
    for (let i = 1; i < states.length; i++) {
      const [before, after] = [states[i - 1], states[i]];
      const moved = !before.main.equals(after.main);
      if (moved) checkpoints++;
      for (let cut = 0; cut < cutsEach; cut++) {
        const copy = join(root, `cut-${i}-${cut}`);
        const torn = moved
          ? { main: mixed(before.main, after.main, chance), log: after.log }
          : { main: before.main, log: mixed(before.log, after.log, chance, LOG_HEADER) };
        rmSync(copy, { recursive: true, force: true });
        await withBookFrom(copy, torn, async (book) => {
          await sound(book);
          const seq = await book.ports.store.lastSeq();
          must(
            seq === before.seq || seq === after.seq,
            `after ${before.seq} acknowledged changes the book holds ${seq}`,
          );
          if (seq === after.seq) kept++;
        });
        rmSync(copy, { recursive: true, force: true });
        cuts++;
      }
    }
    return { changes, cuts, checkpoints, cutsThatKeptTheNext: kept, lost: 0 };
  });
}

async function withBookFrom(
  folder: string,
  { main, log }: { main: Buffer; log: Buffer },
  work: (book: Book) => Promise<void>,
): Promise<void> {
  // Made by opening the book once, so that the lock and the photo folder exist.
  await withBook(folder, async () => {});
  for (const name of readdirSync(folder)) {
    if (name.startsWith('book.sqlite')) rmSync(join(folder, name));
  }
  writeFileSync(join(folder, 'book.sqlite'), main);
  writeFileSync(join(folder, 'book.sqlite-wal'), log);
  await withBook(folder, work);
}

/** The newer file with any of its sectors unchanged, except for the first `flushed` bytes. */
function mixed(
  before: Buffer,
  after: Buffer,
  chance: ReturnType<typeof seededChance>,
  flushed = 0,
): Buffer {
  const torn = Buffer.from(after);
  const share = chance.uniform();
  for (let at = 0; at < after.length; at += SECTOR) {
    if (chance.uniform() < share) continue;
    const end = Math.min(at + SECTOR, after.length);
    // Past the old end of the file, a sector that never reached the disk reads as 0.
    torn.fill(0, at, end);
    if (at < before.length) before.copy(torn, at, at, Math.min(end, before.length));
  }
  after.copy(torn, 0, 0, flushed);
  return torn;
}

/** Longer than a job of a few seconds takes to be seen as running. */
const HARD_NOTES = `${'N '.repeat(999)}\n`.repeat(524);

/**
 * Kills a serving program in the middle of work that was made to be hard. Started again, the program must
 * answer, say that the work was stopped, and not start that work by itself.
 */
export async function drillKilledWork(rounds: number) {
  return inFolder(async (root) => {
    const folder = join(root, 'book');
    await withBook(folder, (book) =>
      changeBook(book, {
        what: 'Long names',
        steps: [
          line('l', 'Saltmarsh'),
          ...Array.from({ length: 60 }, (_, i) =>
            block(`b${i}`, 'l', { name: `N ${'n '.repeat(10 + (i % 8))}${i}` }),
          ),
        ],
      }),
    );
    for (let round = 1; round <= rounds; round++) {
      const child = spawn(
        process.execPath,
        [...programOf('kneadwell'), 'serve', '--folder', folder, '--port', '0'],
        { stdio: ['ignore', 'pipe', 'inherit'] },
      );
      const [said] = await once(child.stdout, 'data');
      const url = /http:\S+/.exec(String(said))?.[0] ?? '';
      const client = apiClient({ baseUrl: url });
      const call = {
        do: 'import',
        as: 'shorthand',
        fileName: 'notes',
        text: HARD_NOTES,
        check: true,
      };
      const { id } = (await client.call('startJob', { body: call as JobCall })).body;
      const stateOf = async () => (await client.call('getJob', { params: { id } })).body.state;
      let state = await stateOf();
      while (state === 'waiting') state = await stateOf();
      must(state === 'running', `round ${round}: the work ended before the kill: ${state}`);
      const closed = once(child, 'close');
      child.kill('SIGKILL');
      await closed;
      const server = await startServer(folder, { version: 'drill', port: 0, dailyBackups: false });
      try {
        const again = apiClient({ baseUrl: server.url });
        must((await again.call('health', {})).status === 200, 'the program does not answer');
        const { body } = await again.call('getJob', { params: { id } });
        must(body.state === 'lost', `round ${round}: the work is ${body.state}`);
        const open = await again.call('listJobs', { query: { open: 'true' } });
        must(open.body.jobs.length === 0, 'work was started by itself');
        await sound(server.book);
      } finally {
        await server.close();
      }
    }
    return { kills: rounds, 'jobs started again': 0 };
  });
}
