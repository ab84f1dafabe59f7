import { closeSync, existsSync, openSync } from 'node:fs';
import Database from 'better-sqlite3';
import type { ServerStateStore } from '../book/server-state.ts';
import { AppError } from '../core/errors.ts';
import { moveFile } from './move-file.ts';
import { isFull, storeError } from './store-errors.ts';

export interface OpenSideStore extends ServerStateStore {
  /** It was damaged: it lies beside, and an empty one was begun. */
  readonly startedEmpty: boolean;
  close(): void;
}

const IN_MEMORY = ':memory:';
const TABLE = `create table if not exists kept (
  space text not null, name text not null, value text not null, primary key (space, name))`;

/**
 * The side store in one file of its own, so that no backup of a book carries who has access.
 * Holds:   a damaged file is set aside; a damaged file, a full disk or a folder that cannot be written to
 *          never stops a book from opening, but in the last two cases nothing outlasts the program
 */
export function openServerStateStore(path: string): OpenSideStore {
  let startedEmpty = false;
  let raw: Database.Database;
  try {
    raw = opened(path);
  } catch (thrown) {
    if (isClosed(thrown) || isShut(thrown)) {
      // Served for reading only: what is remembered now is remembered until the end.
      raw = opened(IN_MEMORY);
      return storeOn(raw, path, false);
    }
    if (!isDamage(thrown)) throw storeError(thrown, path);
    for (const ending of ['', '-wal', '-shm']) {
      if (existsSync(`${path}${ending}`)) moveFile(`${path}${ending}`, `${path}.damaged${ending}`);
    }
    startedEmpty = true;
    raw = opened(path);
  }
  return storeOn(raw, path, startedEmpty);
}

function storeOn(raw: Database.Database, path: string, startedEmpty: boolean): OpenSideStore {
  const get = raw.prepare('select value from kept where space = ? and name = ?').pluck();
  const put = raw.prepare(
    'insert into kept (space, name, value) values (?, ?, ?) on conflict (space, name) do update set value = excluded.value',
  );
  const remove = raw.prepare('delete from kept where space = ? and name = ?');
  const list = raw.prepare('select name, value from kept where space = ? order by name');
  const telling = async <T>(work: () => T): Promise<T> => {
    try {
      return work();
    } catch (thrown) {
      throw storeError(thrown, path);
    }
  };
  return {
    startedEmpty,
    get: (space, key) =>
      telling(() => {
        const text = get.get(space, key) as string | undefined;
        return text === undefined ? undefined : JSON.parse(text);
      }),
    put: (space, key, value) => telling(() => void put.run(space, key, JSON.stringify(value))),
    remove: (space, key) => telling(() => void remove.run(space, key)),
    list: (space) =>
      telling(() =>
        (list.all(space) as { name: string; value: string }[]).map(({ name, value }) => ({
          key: name,
          value: JSON.parse(value),
        })),
      ),
    close: () => void raw.close(),
  };
}

function opened(path: string): Database.Database {
  // The engine gives its log the rights of the file; a file of its own making others could read.
  if (path !== IN_MEMORY) closeSync(openSync(path, 'a', 0o600));
  const raw = new Database(path, { timeout: 5000 });
  try {
    raw.pragma('journal_mode = WAL');
    raw.pragma('synchronous = FULL');
    raw.pragma('trusted_schema = OFF');
    raw.exec(TABLE);
    return raw;
  } catch (thrown) {
    raw.close();
    throw thrown;
  }
}

/** No room for it, or no right to write it. */
function isClosed(thrown: unknown): boolean {
  const fault = storeError(thrown, '');
  return (
    fault instanceof AppError &&
    ['disk-full', 'book-read-only', 'book-not-opened'].includes(fault.code)
  );
}

/** The same, from the system before the engine looked. */
function isShut(thrown: unknown): boolean {
  return isFull(thrown) || SHUT.has((thrown as NodeJS.ErrnoException).code ?? '');
}

const SHUT: ReadonlySet<string> = new Set(['EACCES', 'ENOENT', 'EPERM', 'EROFS']);

function isDamage(thrown: unknown): boolean {
  return (
    thrown instanceof Database.SqliteError &&
    (thrown.code.startsWith('SQLITE_CORRUPT') || thrown.code === 'SQLITE_NOTADB')
  );
}
