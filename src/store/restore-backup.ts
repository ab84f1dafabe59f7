import { randomBytes } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
} from 'node:fs';
import { mkdir, open, rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { BackupCheck } from '../book/backup-ports.ts';
import { openBook } from '../book/book.ts';
import { checkBook } from '../book/check-book.ts';
import type { SavedFiles } from '../book/ports.ts';
import { recordCountsOf } from '../book/record-counts.ts';
import { AppError } from '../core/errors.ts';
import type { BackupManifest } from '../domain/records/backup.ts';
import {
  BOOK_FILE as BOOK,
  NEWEST_FILE,
  PHOTO_FOLDER as PHOTOS,
  RESTORE_PLAN as PLAN,
} from './book-names.ts';
import { lockFolder } from './folder-lock.ts';
import { makeFolder } from './make-folder.ts';
import { moveFile } from './move-file.ts';
import { readBackup } from './read-backup.ts';
import { flushFolder, savedFilesIn } from './saved-files.ts';
import { openSqliteBook } from './sqlite-book-store.ts';

/** What belongs to the old book, in the order it is moved aside: its log before itself. */
const OLD = [NEWEST_FILE, `${BOOK}-wal`, `${BOOK}-shm`, PHOTOS, BOOK];

export type RestoreStep = 'unpack' | 'check' | 'plan' | 'move aside' | 'move in' | 'forget plan';

export interface RestoreCall {
  readonly from: string;
  readonly folder: string;
  readonly nowEpochMs: number;
  readonly before?: (step: RestoreStep) => void;
}

export interface Restored {
  readonly manifest: BackupManifest;
  readonly check: BackupCheck;
  /** Folder of the book that was there; absent where there was none. */
  readonly oldBook?: string;
}

interface Plan {
  readonly staged: string;
  readonly aside: string;
}

/**
 * Puts the book of a backup in place of the one in a folder, which is kept aside as it was.
 * Refuses: as `readBackup` does; a book whose records do not bear each other out -> backup-damaged; a
 *          folder that is open -> folder-in-use. The folder is then as it was
 * Holds:   killed at any moment, the folder holds the old book or the new one, whole: once the plan is
 *          on the disk, whoever opens the folder next ends what was begun
 */
export async function restoreBackup(call: RestoreCall): Promise<Restored> {
  const { from, folder, nowEpochMs, before = () => {} } = call;
  makeFolder(folder);
  // The lock also comes first so that a folder in use is refused before minutes of unpacking.
  const lock = lockFolder(folder);
  const staged = `.restoring-${randomBytes(8).toString('hex')}`;
  let decided = false;
  try {
    finishRestore(folder);
    sweepStaged(folder);
    before('unpack');
    await mkdir(join(folder, staged, PHOTOS), { recursive: true });
    const manifest = await readBackup(from, join(folder, staged));
    before('check');
    const check = await checkStaged(join(folder, staged), manifest, from);
    await flushFolder(join(folder, staged, PHOTOS));
    await flushFolder(join(folder, staged));
    const had = existsSync(join(folder, BOOK));
    const stamp = new Date(nowEpochMs).toISOString().slice(0, 19).replaceAll(':', '');
    const aside = freeName(folder, `before-restore-${stamp}Z`);
    before('plan');
    await writePlan(folder, { staged, aside });
    decided = true;
    finishRestore(folder, before);
    return { manifest, check, ...(had ? { oldBook: join(folder, aside) } : {}) };
  } finally {
    if (!decided) await rm(join(folder, staged), { recursive: true, force: true });
    lock.release();
  }
}

/**
 * Looks through a backup as `checkBook` looks through a book, without keeping anything of it.
 * Shape:   `workFolder` is made for it and taken away again
 */
export async function checkBackup(path: string, workFolder: string): Promise<BackupCheck> {
  try {
    await mkdir(workFolder, { recursive: true });
    const manifest = await readBackup(path, workFolder);
    return await checkStaged(workFolder, manifest, path, false);
  } finally {
    await rm(workFolder, { recursive: true, force: true });
  }
}

/** Ends a restore that was decided on; the caller holds the folder. Nothing to do most of the time. */
export function finishRestore(
  folder: string,
  before: (step: RestoreStep) => void = () => {},
): void {
  const plan = readPlan(folder);
  if (plan === undefined) return;
  const staged = join(folder, plan.staged);
  const aside = join(folder, plan.aside);
  const isIn = !existsSync(join(staged, BOOK));
  if (!isIn) {
    for (const name of OLD) {
      const isNew = name === PHOTOS && !existsSync(join(staged, PHOTOS));
      if (isNew || !existsSync(join(folder, name))) continue;
      before('move aside');
      mkdirSync(aside, { recursive: true });
      moveFile(join(folder, name), join(aside, name));
    }
    // The book itself goes last: while it is staged, the restore is not through.
    for (const name of [PHOTOS, BOOK]) {
      if (!existsSync(join(staged, name))) continue;
      before('move in');
      moveFile(join(staged, name), join(folder, name));
    }
  }
  for (const touched of [aside, folder]) if (existsSync(touched)) flushSync(touched);
  before('forget plan');
  rmSync(staged, { recursive: true, force: true });
  rmSync(join(folder, PLAN), { force: true });
}

/** As `flushFolder`, for work that nothing may come between. */
function flushSync(folder: string): void {
  if (process.platform === 'win32') return;
  const descriptor = openSync(folder, 'r');
  try {
    fsyncSync(descriptor);
  } finally {
    closeSync(descriptor);
  }
}

async function writePlan(folder: string, plan: Plan): Promise<void> {
  const beside = join(folder, `${PLAN}.new`);
  const file = await open(beside, 'w');
  try {
    await file.writeFile(`${JSON.stringify(plan)}\n`);
    await file.sync();
  } finally {
    await file.close();
  }
  moveFile(beside, join(folder, PLAN));
  await flushFolder(folder);
}

function readPlan(folder: string): Plan | undefined {
  const path = join(folder, PLAN);
  if (!existsSync(path)) return undefined;
  try {
    const plan = JSON.parse(readFileSync(path, 'utf8')) as Plan;
    const fits =
      /^\.restoring-[0-9a-f]{16}$/.test(plan.staged) &&
      /^before-restore-[0-9TZ-]+$/.test(plan.aside);
    if (fits) return plan;
  } catch {
    // Said below.
  }
  throw new AppError({
    code: 'restore-plan-unreadable',
    kind: 'unavailable',
    detail: `${path} cannot be read, so nobody knows which book is meant to be in ${folder}.`,
    hint: 'Take that file away to keep the book that lies there now, and restore again.',
  });
}

/** Takes away what restores unpacked that were killed before they were decided on. */
export function sweepStaged(folder: string): void {
  for (const name of readdirSync(folder)) {
    if (/^\.restoring-[0-9a-f]{16}$/.test(name)) {
      rmSync(join(folder, name), { recursive: true, force: true });
    }
  }
}

/** The unpacked book, opened (and so brought up to this program) and looked through. */
async function checkStaged(
  staged: string,
  manifest: BackupManifest,
  from: string,
  strict = true,
): Promise<BackupCheck> {
  const store = await openSqliteBook(join(staged, BOOK)).catch((fault) => {
    throw damagedInside(from, fault);
  });
  try {
    const lacking = new Set(manifest.lacking);
    const kept = savedFilesIn(join(staged, PHOTOS));
    // Photos the backup is known to lack are reported separately, and the rest is still checked.
    const files: SavedFiles = {
      ...kept,
      list: async () => [...(await kept.list()), ...lacking].sort(),
      get: async (sha) => (lacking.has(sha) ? new Uint8Array() : kept.get(sha)),
    };
    const book = openBook({ store, files, nowEpochMs: () => 0, newId: () => '' });
    const check = await checkBook(book);
    await book.index.ready;
    if (strict && check.troubles.length > 0) {
      throw damagedInside(from, new Error(check.troubles[0]));
    }
    const { files: list, seal: _seal, ...rest } = manifest;
    const holds = await recordCountsOf(store);
    return { ...check, manifest: { ...rest, files: list.length }, holds };
  } finally {
    await store.close();
  }
}

function damagedInside(from: string, cause: unknown): unknown {
  if (cause instanceof AppError && (cause.code === 'book-newer' || cause.code === 'disk-full')) {
    return cause;
  }
  return new AppError({
    code: 'backup-damaged',
    kind: 'bad-input',
    detail: `The book in ${from} is damaged: ${cause instanceof AppError ? cause.detail : (cause as Error).message}`,
    hint: 'Nothing of it was used. Take another backup.',
    cause,
  });
}

function freeName(folder: string, name: string): string {
  for (let again = 1; ; again++) {
    const tried = again === 1 ? name : `${name}-${again}`;
    if (statSync(join(folder, tried), { throwIfNoEntry: false }) === undefined) return tried;
  }
}
