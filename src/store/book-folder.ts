import { randomUUID } from 'node:crypto';
import { copyFileSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BackupStore } from '../book/backup-ports.ts';
import type { BookPorts } from '../book/ports.ts';
import { AppError } from '../core/errors.ts';
import { backupStore } from './backup-store.ts';
import { BACKUP_FOLDER, BOOK_FILE, PHOTO_FOLDER } from './book-names.ts';
import { type FolderLock, lockFolder } from './folder-lock.ts';
import { makeFolder } from './make-folder.ts';
import { lostChanges, newestChangeIn, readNewestChange } from './newest-change.ts';
import { makePrivate } from './private-folder.ts';
import { finishRestore, sweepStaged } from './restore-backup.ts';
import { makeSafetyCopy } from './safety-copy.ts';
import { type BeforeStep, savedFilesIn, sweepHalfWritten } from './saved-files.ts';
import { openFullBook, openSqliteBook, readOnly, type SqliteBook } from './sqlite-book-store.ts';
import type { BeforeStatement } from './sqlite-connection.ts';
import { checkBeginning } from './whole-file.ts';
import type { BackupStep } from './write-backup.ts';

/** Half-written files older than this were left by a crash. */
const HALF_WRITTEN_MS = 60 * 60 * 1000;

export interface FolderOptions {
  readonly nowEpochMs?: () => number;
  readonly newId?: () => string;
  readonly beforeStatement?: BeforeStatement;
  readonly beforeFileStep?: BeforeStep;
  readonly beforeBackupStep?: (step: BackupStep) => void;
  /** The program and its version, written into backups. */
  readonly madeWith?: string;
  /** Hears in a sentence what opening did to the book, or what the owner has to know of it. */
  readonly onNotice?: (sentence: string) => void;
  /** Where backups stand; a folder inside the data folder unless said otherwise. */
  readonly backupFolder?: string;
}

export interface OpenFolder {
  readonly ports: BookPorts;
  readonly lock: FolderLock;
  readonly backups: BackupStore;
  /** Why nothing can be changed, where it cannot. */
  readonly readOnly?: AppError;
  close(): Promise<void>;
}

/**
 * A data folder, made where there is none: the lock first, then a restore that was cut short, then the
 * book and its kept files. A book that lost changes, whose disk is full or whose folder cannot be written
 * to is opened for reading only.
 * Refuses: as `makeFolder`, `lockFolder`, `checkBeginning` and `openSqliteBook` do
 * Holds:   nobody but the owner can read the folder afterwards, where the system knows owners
 */
export async function openBookFolder(
  folder: string,
  options: FolderOptions = {},
): Promise<OpenFolder> {
  const { nowEpochMs = Date.now, newId = () => randomUUID(), madeWith = 'kneadwell' } = options;
  makeFolder(folder);
  makePrivate(folder);
  let lock: FolderLock;
  try {
    lock = lockFolder(folder);
  } catch (thrown) {
    if (!isReadOnly(thrown) || !existsSync(join(folder, BOOK_FILE))) throw thrown;
    return openCopy(folder, options, thrown);
  }
  try {
    finishRestore(folder);
    sweepStaged(folder);
    checkBeginning(folder);
    const { store, fault } = await openStore(folder, options);
    makePrivate(folder);
    const files = savedFilesIn(join(folder, PHOTO_FOLDER), options.beforeFileStep);
    await sweepHalfWritten(join(folder, PHOTO_FOLDER), nowEpochMs(), HALF_WRITTEN_MS);
    return {
      ports: { store, files, nowEpochMs, newId },
      lock,
      backups: backupStore({
        folder: options.backupFolder ?? join(folder, BACKUP_FOLDER),
        copyBook: store.copyTo,
        photoFolder: join(folder, PHOTO_FOLDER),
        madeWith,
        nowEpochMs,
        ...(options.beforeBackupStep === undefined ? {} : { before: options.beforeBackupStep }),
      }),
      ...(fault === undefined ? {} : { readOnly: fault }),
      async close() {
        await store.close();
        lock.release();
      },
    };
  } catch (thrown) {
    lock.release();
    throw thrown;
  }
}

interface OpenStore {
  readonly store: SqliteBook;
  readonly fault?: AppError;
}

async function openStore(folder: string, options: FolderOptions): Promise<OpenStore> {
  const { onNotice = () => {} } = options;
  const path = join(folder, BOOK_FILE);
  const had = existsSync(path);
  const saved = readNewestChange(folder);
  const newest = newestChangeIn(folder);
  let store: SqliteBook;
  try {
    store = await openSqliteBook(path, {
      ...(options.beforeStatement === undefined ? {} : { before: options.beforeStatement }),
      onSaved: newest.write,
      beforeUpgrade: async (copyBook) => {
        const copy = await copyBefore(folder, options, copyBook);
        onNotice(
          `The book in ${folder} is brought up to this version. A copy of the book as it was is beside it: ${copy}. Delete the copy when you no longer want it.`,
        );
      },
    });
  } catch (thrown) {
    newest.close();
    if (!had || !(thrown instanceof AppError) || thrown.code !== 'disk-full') throw thrown;
    const fault = fullDisk(folder, thrown);
    store = await openFullBook(path, fault);
    onNotice(fault.message);
    return { store, fault };
  }
  const seq = await store.lastSeq();
  const lost = lostChanges(folder, saved, seq);
  if (lost !== undefined) {
    newest.close();
    onNotice(lost.message);
    return { store: readOnly(store, lost, true), fault: lost };
  }
  if (saved !== seq) newest.write(seq);
  const close = async () => {
    await store.close();
    newest.close();
  };
  return { store: { ...store, close } };
}

const isReadOnly = (thrown: unknown): thrown is AppError =>
  thrown instanceof AppError && ['book-read-only', 'book-not-opened'].includes(thrown.code);

/**
 * A book in a folder that cannot be written to, read through a copy of its file, as the engine has to write
 * beside a book even to read it.
 * Limits: nobody is kept from writing to the folder meanwhile; what is written is not seen
 */
async function openCopy(
  folder: string,
  options: FolderOptions,
  cause: AppError,
): Promise<OpenFolder> {
  const { nowEpochMs = Date.now, newId = () => randomUUID(), madeWith = 'kneadwell' } = options;
  const { onNotice = () => {} } = options;
  const fault = new AppError({
    code: 'book-read-only',
    kind: 'unavailable',
    detail: `${folder} cannot be written to, so the book is open for reading only. Nothing new is saved.`,
    hint: 'Give yourself the right to write to the folder, or copy the folder to a place of your own.',
    cause,
  });
  const beside = mkdtempSync(join(tmpdir(), 'kneadwell-read-'));
  try {
    for (const name of [BOOK_FILE, `${BOOK_FILE}-wal`]) {
      if (existsSync(join(folder, name))) copyFileSync(join(folder, name), join(beside, name));
    }
    checkBeginning(folder);
    const store = readOnly(await openSqliteBook(join(beside, BOOK_FILE)), fault);
    const photos = join(existsSync(join(folder, PHOTO_FOLDER)) ? folder : beside, PHOTO_FOLDER);
    onNotice(fault.message);
    return {
      ports: { store, files: savedFilesIn(photos), nowEpochMs, newId },
      lock: { announce: () => {}, release: () => {} },
      backups: backupStore({
        folder: options.backupFolder ?? join(folder, BACKUP_FOLDER),
        copyBook: store.copyTo,
        photoFolder: photos,
        madeWith,
        nowEpochMs,
      }),
      readOnly: fault,
      async close() {
        await store.close();
        rmSync(beside, { recursive: true, force: true });
      },
    };
  } catch (thrown) {
    rmSync(beside, { recursive: true, force: true });
    throw thrown;
  }
}

function copyBefore(
  folder: string,
  { nowEpochMs = Date.now, madeWith = 'kneadwell' }: FolderOptions,
  copyBook: (path: string) => Promise<void>,
): Promise<string> {
  const version = madeWith.split(' ').at(-1)!;
  return makeSafetyCopy({ folder, version, nowEpochMs: nowEpochMs(), copyBook });
}

function fullDisk(folder: string, cause: AppError): AppError {
  return new AppError({
    code: 'disk-full',
    kind: 'unavailable',
    detail: `The disk with ${folder} is full, so the book is open for reading only. Nothing new is saved.`,
    hint: 'Free some space, close Kneadwell and start it again. What was saved before is safe.',
    retry: true,
    cause,
  });
}
