import { randomUUID } from 'node:crypto';
import { constants, existsSync, statSync } from 'node:fs';
import { access, mkdtemp, readdir, rm, statfs } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import type { ShelvedBackup } from '../book/backup-ports.ts';
import { type Book, openBook } from '../book/book.ts';
import type { BookAccess, InstallationLook } from '../book/book-access.ts';
import { type BookService, bookServiceOf } from '../book/book-service.ts';
import { checkBook } from '../book/check-book.ts';
import type { ColoursElsewhere } from '../book/predicted-colours.ts';
import { apiClient } from '../client/api-client.ts';
import { AppError } from '../core/errors.ts';
import { storedBackups } from '../store/backup-names.ts';
import { backupStore } from '../store/backup-store.ts';
import { type FolderOptions, openBookFolder } from '../store/book-folder.ts';
import { BACKUP_FOLDER, BOOK_FILE, PHOTO_FOLDER, RESTORE_PLAN } from '../store/book-names.ts';
import { type FolderOwner, ownerOf } from '../store/folder-lock.ts';
import { makeFolder } from '../store/make-folder.ts';
import { MIGRATIONS } from '../store/migrations.ts';
import { lostChanges, readNewestChange } from '../store/newest-change.ts';
import { checkBackup, restoreBackup } from '../store/restore-backup.ts';
import { savedFilesIn } from '../store/saved-files.ts';
import { copySnapshot, hasBook, schemaOf } from '../store/snapshot.ts';
import { openSqliteBook, readOnly } from '../store/sqlite-book-store.ts';
import { checkBeginning, checkLength } from '../store/whole-file.ts';
import { dataFolder } from './data-folder.ts';
import { serverClient } from './server-client.ts';

/** Folders with books on the disk of this machine. */
export function bookAccess(
  madeWith: string,
  onNotice: (sentence: string) => void = () => {},
): BookAccess {
  const options: FolderOptions = { madeWith, onNotice };
  // A command does one thing and ends: it needs no other thread.
  const colours: ColoursElsewhere = async (work) => {
    const { doClayWork } = await import('../book/clay-work.ts');
    return doClayWork(work, {
      nowMs: () => performance.now(),
      progress: () => {},
      breathe: () => setImmediate(),
      madeWith,
    });
  };

  const lookAt = async <T>(folder: string, work: (book: Book) => Promise<T>): Promise<T> => {
    if (!hasBook(folder)) throw noBook(folder);
    const open = await openUnlessHeld(folder, options);
    if (open !== undefined) {
      try {
        return await work(openBook(open.ports, colours));
      } finally {
        await open.close();
      }
    }
    const beside = await mkdtemp(join(tmpdir(), 'kneadwell-look-'));
    try {
      const path = join(beside, BOOK_FILE);
      const saved = readNewestChange(folder);
      copySnapshot(folder, path);
      const copy = await openSqliteBook(path);
      try {
        const lost = lostChanges(folder, saved, await copy.lastSeq());
        const store = lost === undefined ? copy : readOnly(copy, lost, true);
        const files = savedFilesIn(join(folder, PHOTO_FOLDER));
        return await work(
          openBook(
            { store, files, nowEpochMs: () => Date.now(), newId: () => randomUUID() },
            colours,
          ),
        );
      } finally {
        await copy.close();
      }
    } finally {
      await rm(beside, { recursive: true, force: true });
    }
  };

  return {
    folderOf: (named) => dataFolder(named),
    async throughService(folder, begin, work) {
      if (!begin && !hasBook(folder)) throw noBook(folder);
      let open: Awaited<ReturnType<typeof openBookFolder>>;
      try {
        open = await openBookFolder(folder, options);
      } catch (fault) {
        if (!isHeld(fault)) throw fault;
        const owner = ownerOf(folder);
        if (owner?.url === undefined) throw fault;
        return await atServer(folder, { ...owner, url: owner.url }, work);
      }
      try {
        return await work(bookServiceOf(openBook(open.ports, colours)));
      } finally {
        await open.close();
      }
    },
    lookAt,
    async backUp(folder, to) {
      if (!hasBook(folder)) throw noBook(folder);
      const call = to === undefined ? {} : { to };
      const open = await openUnlessHeld(folder, options);
      if (open !== undefined) return open.backups.make(call).finally(() => open.close());
      return backupStore({
        folder: join(folder, BACKUP_FOLDER),
        copyBook: async (path) => copySnapshot(folder, path),
        photoFolder: join(folder, PHOTO_FOLDER),
        madeWith,
        nowEpochMs: () => Date.now(),
      }).make(call);
    },
    async restore(folder, from) {
      const { check, oldBook } = await restoreBackup({ from, folder, nowEpochMs: Date.now() });
      return { check, ...(oldBook === undefined ? {} : { oldBook }) };
    },
    checkBackup: (path) => aside((work) => checkBackup(path, work)),
    async installation(folder) {
      const backups = await storedBackups(join(folder, BACKUP_FOLDER));
      const look: InstallationLook = {
        nodeVersion: process.versions.node,
        folder,
        ...(await folderFacts(folder)),
        knownSchema: MIGRATIONS.length,
        backups,
        ...(await newestFacts(backups)),
        halfRestored: existsSync(join(folder, RESTORE_PLAN)),
        page: existsSync(new URL('../web/index.html', import.meta.url)),
        nowEpochMs: Date.now(),
      };
      let outside: Partial<InstallationLook> = {};
      try {
        checkBeginning(folder);
        if (!existsSync(join(folder, BOOK_FILE))) return look;
        checkLength(join(folder, BOOK_FILE));
        const owner = ownerOf(folder);
        outside = { ...(owner === undefined ? {} : { owner }), schema: schemaOf(folder) };
        const inside = await lookAt(folder, async (book) => {
          const { troubles, looseFiles, records } = await checkBook(book);
          const [newest] = await book.ports.store.groups({}, 1);
          return {
            troubles,
            looseFiles: looseFiles.length,
            records,
            ...(newest === undefined ? {} : { newestChangeAt: newest.at }),
          };
        });
        return { ...look, ...outside, ...inside };
      } catch (fault) {
        if (!(fault instanceof AppError)) throw fault;
        return { ...look, ...outside, notOpened: { what: fault.detail, mend: fault.hint } };
      }
    },
    async namesIn(folder) {
      const stats = statSync(folder, { throwIfNoEntry: false });
      return stats?.isDirectory() === true ? readdir(folder) : undefined;
    },
    async makeFolder(path) {
      makeFolder(path);
    },
    async removeFolder(path) {
      await rm(path, { recursive: true, force: true });
    },
    newId: () => randomUUID(),
    today: () => {
      const now = new Date();
      const two = (value: number) => String(value).padStart(2, '0');
      return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
    },
  };
}

async function openUnlessHeld(folder: string, options: FolderOptions) {
  try {
    return await openBookFolder(folder, options);
  } catch (fault) {
    if (isHeld(fault)) return undefined;
    throw fault;
  }
}

function isHeld(fault: unknown): boolean {
  return fault instanceof AppError && fault.code === 'folder-in-use';
}

/** Through the server that has the folder open. What answers at its address may be another: the pass tells. */
async function atServer<T>(
  folder: string,
  { url, pass, pid }: FolderOwner & { readonly url: string },
  work: (service: BookService) => Promise<T>,
): Promise<T> {
  const folderPass = pass === undefined ? {} : { folderPass: pass };
  try {
    return await work(serverClient(apiClient({ baseUrl: url, ...folderPass })));
  } catch (fault) {
    const away =
      fault instanceof AppError && (fault.code === 'server-away' || fault.code === 'other-folder');
    if (!away) throw fault;
    throw new AppError({
      code: 'folder-in-use',
      kind: 'conflict',
      detail: `The book in ${folder} is open in another Kneadwell (process ${pid}), which cannot be reached at ${url} from here.`,
      hint: 'Do this where that one runs, or end it first. What is done already can be asked for again.',
      cause: fault,
      retry: true,
    });
  }
}

async function aside<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), 'kneadwell-look-'));
  try {
    return await work(join(folder, 'book'));
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function folderFacts(
  folder: string,
): Promise<Pick<InstallationLook, 'folderIs' | 'writable' | 'freeBytes' | 'bookBytes'>> {
  const stats = statSync(folder, { throwIfNoEntry: false });
  if (stats === undefined) return { folderIs: 'nothing' };
  if (!stats.isDirectory()) return { folderIs: 'other' };
  const writable = await access(folder, constants.W_OK | constants.X_OK).then(
    () => true,
    () => false,
  );
  const space = await statfs(folder).catch(() => undefined);
  const book = statSync(join(folder, BOOK_FILE), { throwIfNoEntry: false });
  return {
    folderIs: 'folder',
    writable,
    ...(space === undefined ? {} : { freeBytes: space.bavail * space.bsize }),
    ...(book === undefined ? {} : { bookBytes: book.size }),
  };
}

async function newestFacts(
  backups: readonly ShelvedBackup[],
): Promise<Pick<InstallationLook, 'newestBackup'>> {
  const newest = backups.at(-1);
  if (newest === undefined) return {};
  try {
    const { troubles } = await aside((work) => checkBackup(newest.path, work));
    return {
      newestBackup:
        troubles.length === 0 ? 'sound' : { trouble: `The newest backup: ${troubles[0]}` },
    };
  } catch (fault) {
    if (!(fault instanceof AppError)) throw fault;
    return { newestBackup: { trouble: fault.detail } };
  }
}

function noBook(folder: string): AppError {
  if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() === false) {
    return new AppError({
      code: 'no-book',
      kind: 'not-found',
      detail: `${folder} is a file, and a mix book needs a folder.`,
      hint: 'Name its folder with --folder.',
    });
  }
  return new AppError({
    code: 'no-book',
    kind: 'not-found',
    detail: `There is no mix book in ${folder}.`,
    hint: 'Begin one with "kneadwell serve" or "kneadwell add", or name its folder with --folder.',
  });
}
