import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { AppError } from '../core/errors.ts';
import { moveFile } from './move-file.ts';
import { isFull, storeError } from './store-errors.ts';

/** Who has a folder open, as it says of itself; true only while the lock is held. */
export interface FolderOwner {
  readonly pid: number;
  /** Where its server listens, once it does. */
  readonly url?: string;
  /** Proves to the server that a caller can read this folder; a new pass each time the book is served. */
  readonly pass?: string;
}

export interface FolderLock {
  /** Tells others where the server is, and its pass. */
  announce(url: string, pass: string): void;
  release(): void;
}

const LOCK = 'book.lock';
const OWNER = 'book.owner.json';
/** Of a folder that cannot be written to. */
const NO_LOCK: readonly string[] = ['book-read-only', 'book-not-opened'];

/**
 * Takes a folder for this process alone. The lock is the engine's own write lock on a file beside the
 * book: the system frees it when the process ends, however it ends, so no lock is ever stale. Who holds
 * it stands in a second file, which means nothing once the lock is free.
 * Refuses: held -> folder-in-use (conflict), with its owner
 * Limits:  network folders whose file locks do not hold
 * Source:  sqlite.org/lockingv3.html, RESERVED lock
 */
export function lockFolder(folder: string): FolderLock {
  const taken = tryLock(folder);
  if (taken === undefined) throw folderInUse(folder, readOwner(folder));
  const owner = join(folder, OWNER);
  const say = (words: FolderOwner) => {
    const beside = `${owner}.new`;
    // For nobody else's eyes: a file that lay there would keep its own leave.
    rmSync(beside, { force: true });
    writeFileSync(beside, `${JSON.stringify(words)}\n`, { mode: 0o600 });
    moveFile(beside, owner);
  };
  try {
    // A file that is already there was written by a process that has ended.
    rmSync(owner, { force: true });
    say({ pid: process.pid });
  } catch (thrown) {
    // The lock holds without it; others are then just not informed of who has the book.
    if (isFull(thrown)) return { announce: () => {}, release: () => taken.close() };
    taken.close();
    throw new AppError({
      code: 'book-read-only',
      kind: 'unavailable',
      detail: `${folder} cannot be written to.`,
      hint: 'Give yourself leave to write to the folder, or move the book to one where you have it.',
      cause: thrown,
    });
  }
  return {
    announce(url, pass) {
      try {
        say({ pid: process.pid, url, pass });
      } catch (thrown) {
        // As above: on a full disk others do not learn the address, and the lock holds.
        if (!isFull(thrown)) throw thrown;
      }
    },
    release() {
      rmSync(owner, { force: true });
      taken.close();
    },
  };
}

/** Who holds a folder now; nothing where nobody does. An owner not yet known has pid 0. */
export function ownerOf(folder: string): FolderOwner | undefined {
  let probe: Database.Database | undefined;
  try {
    probe = tryLock(folder);
  } catch (thrown) {
    // Where nobody can write a lock, nobody holds one.
    if (thrown instanceof AppError && NO_LOCK.includes(thrown.code)) return undefined;
    throw thrown;
  }
  if (probe === undefined) return readOwner(folder) ?? { pid: 0 };
  probe.close();
  return undefined;
}

function tryLock(folder: string): Database.Database | undefined {
  const path = join(folder, LOCK);
  let lock: Database.Database | undefined;
  try {
    lock = new Database(path, { timeout: 0 });
    // Else the lock would write a journal, for which a full disk has no room.
    lock.pragma('journal_mode = MEMORY');
    lock.exec('begin immediate');
    return lock;
  } catch (thrown) {
    lock?.close();
    if (thrown instanceof Database.SqliteError && thrown.code.startsWith('SQLITE_BUSY')) {
      return undefined;
    }
    throw storeError(thrown, path);
  }
}

function readOwner(folder: string): FolderOwner | undefined {
  try {
    return JSON.parse(readFileSync(join(folder, OWNER), 'utf8'));
  } catch {
    // Between taking the lock and saying so there is nothing to read.
    return undefined;
  }
}

function urlOf({ url }: FolderOwner): Pick<FolderOwner, 'url'> {
  return url === undefined ? {} : { url };
}

function folderInUse(folder: string, owner: FolderOwner | undefined): AppError {
  const who =
    owner === undefined ? 'another Kneadwell' : `another Kneadwell (process ${owner.pid})`;
  return new AppError({
    code: 'folder-in-use',
    kind: 'conflict',
    detail: `The book in ${folder} is open in ${who}.`,
    hint:
      owner?.url === undefined
        ? 'Close that one first, or use it.'
        : `It is at ${owner.url}; use it there, or close it first.`,
    retry: true,
    // The pass is for programs, not for words that are shown.
    ...(owner === undefined ? {} : { more: { owner: { pid: owner.pid, ...urlOf(owner) } } }),
  });
}
