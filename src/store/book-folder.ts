import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import type { BackupStore } from '../book/backup-ports.ts';
import type { BookPorts } from '../book/ports.ts';
import { backupStore } from './backup-store.ts';
import { BACKUP_FOLDER, BOOK_FILE, PHOTO_FOLDER } from './book-names.ts';
import { type FolderLock, lockFolder } from './folder-lock.ts';
import { makeFolder } from './make-folder.ts';
import { finishRestore } from './restore-backup.ts';
import { makeSafetyCopy } from './safety-copy.ts';
import { type BeforeStep, savedFilesIn, sweepHalfWritten } from './saved-files.ts';
import { openSqliteBook } from './sqlite-book-store.ts';
import type { BeforeStatement } from './sqlite-connection.ts';
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
  close(): Promise<void>;
}

/**
 * A data folder, made where there is none: the lock first, then a restore that was cut short, then the
 * book and its kept files.
 * Refuses: as `makeFolder`, `lockFolder` and `openSqliteBook` do
 */
export async function openBookFolder(
  folder: string,
  options: FolderOptions = {},
): Promise<OpenFolder> {
  const { nowEpochMs = Date.now, newId = randomUUID, madeWith = 'kneadwell' } = options;
  const { onNotice = () => {} } = options;
  makeFolder(folder);
  const lock = lockFolder(folder);
  try {
    finishRestore(folder);
    const before = options.beforeStatement;
    const path = join(folder, BOOK_FILE);
    const store = await openSqliteBook(path, {
      ...(before === undefined ? {} : { before }),
      beforeUpgrade: async (copyBook) => {
        const copy = await makeSafetyCopy({
          folder,
          version: madeWith.split(' ').at(-1)!,
          nowEpochMs: nowEpochMs(),
          copyBook,
        });
        onNotice(
          `The book in ${folder} is brought up to this version. A copy of the book as it was is beside it: ${copy}. Delete the copy when you no longer want it.`,
        );
      },
    });
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
