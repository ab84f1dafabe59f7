import { AppError } from '../core/errors.ts';
import type { BackupCheck, BackupStore } from './backup-ports.ts';
import type { Book } from './book.ts';
import { changesLacking, type RecordCounts, recordCountsOf } from './record-counts.ts';

/** What a look into a backup tells, beside what would be replaced by it. */
export interface RestoreOffer {
  readonly id: string;
  readonly fileName: string;
  readonly bytes: number;
  readonly madeAt: string;
  readonly madeWith: string;
  readonly photos: number;
  /** Photos it is known to lack. */
  readonly lacking: number;
  readonly holds: RecordCounts;
  readonly now: RecordCounts;
  /** Changes of the book the backup does not have; absent where it is another book. */
  readonly newerChanges?: number;
}

/** How the last restore ended. */
export interface RestoreOutcome {
  readonly id: string;
  readonly at: string;
  readonly fileName: string;
  /** Absent where it was put in place. */
  readonly refused?: { readonly detail: string; readonly hint: string };
}

export interface RestorePorts {
  readonly book: Book;
  readonly backups: BackupStore;
  readonly newId: () => string;
  /** Backups that came in to be looked at, outside the book. */
  readonly incoming: {
    put(id: string, bytes: AsyncIterable<Uint8Array>): Promise<IncomingFile>;
    remove(id: string): Promise<void>;
  };
  /** Reads it to its end. Refuses: as `readBackup` does, and a book that is not sound */
  readonly check: (path: string) => Promise<BackupCheck>;
  /** Puts the book of a backup in place of the open one, once what is being answered has gone out. */
  readonly putInPlace: (path: string, backup: Pick<RestoreOffer, 'id' | 'fileName'>) => void;
  readonly last: () => RestoreOutcome | undefined;
}

export interface IncomingFile {
  readonly path: string;
  readonly bytes: number;
}

export interface RestoreService {
  /** Refuses: as `RestorePorts.check`; no room -> disk-full. Nothing of it is then kept */
  offer(fileName: string, bytes: AsyncIterable<Uint8Array>): Promise<RestoreOffer>;
  /** Offers one of the saved backups. Refuses: no such backup -> no-such-backup (not-found) */
  offerShelved(name: string): Promise<RestoreOffer>;
  drop(id: string): Promise<void>;
  /**
   * Backs up what is, then puts the offered book in its place; the page hears when it is done.
   * Refuses: not offered, or another since -> restore-not-offered (conflict); a book that cannot be
   *          backed up -> as `BackupStore.make`. Nothing is then changed
   */
  restore(id: string): Promise<{ readonly keptAs: string }>;
  last(): RestoreOutcome | undefined;
}

/** Restoring in two steps: a look, and only after it a yes. One backup is on offer at a time. */
export function restoreService(ports: RestorePorts): RestoreService {
  const { book, backups, incoming, newId, check, putInPlace } = ports;
  let offered: { offer: RestoreOffer; path: string; own: boolean } | undefined;
  let going = false;

  const forget = async () => {
    const before = offered;
    offered = undefined;
    if (before?.own === true) await incoming.remove(before.offer.id);
  };
  const lookAt = async (id: string, fileName: string, { path, bytes }: IncomingFile) => {
    const { manifest, holds } = await check(path);
    const { store } = book.ports;
    const newerChanges = await changesLacking(store, holds);
    return {
      id,
      fileName,
      bytes,
      madeAt: manifest.madeAt,
      madeWith: manifest.madeWith,
      photos: manifest.files - 1,
      lacking: manifest.lacking.length,
      holds,
      now: await recordCountsOf(store),
      ...(newerChanges === undefined ? {} : { newerChanges }),
    };
  };
  return {
    async offer(fileName, bytes) {
      await forget();
      const id = newId();
      const file = await incoming.put(id, bytes);
      try {
        const offer = await lookAt(id, fileName, file);
        offered = { offer, path: file.path, own: true };
        return offer;
      } catch (fault) {
        await incoming.remove(id);
        throw inItsName(fault, file.path, fileName);
      }
    },
    async offerShelved(name) {
      await forget();
      const found = (await backups.list()).find(({ path }) => nameIn(path) === name);
      if (found === undefined) throw noSuchBackup(name);
      const offer = await lookAt(newId(), name, found);
      offered = { offer, path: found.path, own: false };
      return offer;
    },
    async drop(id) {
      if (offered?.offer.id === id && !going) await forget();
    },
    async restore(id) {
      if (offered?.offer.id !== id || going) throw notOffered();
      going = true;
      try {
        const { path } = await backups.make();
        putInPlace(offered.path, offered.offer);
        return { keptAs: nameIn(path) };
      } catch (fault) {
        going = false;
        throw fault;
      }
    },
    last: ports.last,
  };
}

/** The last piece of a path, of either kind. */
export function nameIn(path: string): string {
  return path.split(/[\\/]/).pop()!;
}

/** Puts the user's file name into the error, because the temporary path means nothing to the user. */
function inItsName(fault: unknown, path: string, fileName: string): unknown {
  if (!(fault instanceof AppError)) return fault;
  const { code, kind, detail, hint, retry } = fault;
  return new AppError({
    code,
    kind,
    detail: detail.replaceAll(path, fileName),
    hint,
    retry,
    cause: fault,
  });
}

export function noSuchBackup(name: string): AppError {
  return new AppError({
    code: 'no-such-backup',
    kind: 'not-found',
    detail: `There is no backup ${name.slice(0, 100)} beside the book.`,
    hint: 'Look at the list again; old daily ones are thinned out.',
  });
}

function notOffered(): AppError {
  return new AppError({
    code: 'restore-not-offered',
    kind: 'conflict',
    detail: 'That backup is no longer the one that was looked at.',
    hint: 'Choose it again; nothing was changed.',
  });
}
