import Database from 'better-sqlite3';
import { sql } from 'kysely';
import type { BookStore } from '../book/ports.ts';
import { AppError } from '../core/errors.ts';
import { INDEX_FIELDS_VERSION, indexFieldsOf } from '../domain/index-fields.ts';
import { checkSchema } from './expected-schema.ts';
import { MIGRATIONS } from './migrations.ts';
import { openFiles } from './open-files.ts';
import { readsOn } from './reads.ts';
import { type BeforeStatement, connect, type SqliteConnection } from './sqlite-connection.ts';
import { losesTrust, storeError } from './store-errors.ts';
import { checkLength } from './whole-file.ts';
import { deriveAgain, writesOn } from './writes.ts';

/** "Kndw": tells a mix book from other SQLite files. Source: sqlite.org/fileformat.html, offset 68. */
export const APPLICATION_ID = 0x4b6e6477;

export interface SqliteOptions {
  readonly before?: BeforeStatement;
  /** How many migrations to run; all of them unless a test wants an older book. */
  readonly upTo?: number;
  /** Before an older book is brought up: `copyTo` as the open book has it. A fault leaves the book as it was. */
  readonly beforeUpgrade?: (copyTo: (path: string) => Promise<void>) => Promise<void>;
  /** Hears the number of each change once it is on the disk. */
  readonly onSaved?: (seq: number) => void;
}

/** A book whose file can be copied while it is in use. */
export interface SqliteBook extends BookStore {
  /**
   * All of the book as it is at one moment, into a new file of its own, without its log. Others go on
   * reading and writing meanwhile; what they change may or may not be in it, never by halves.
   * Source: sqlite.org/backup.html; a source changed through the same connection keeps the copy true
   */
  copyTo(path: string): Promise<void>;
}

/** Pages copied before others are heard; 4 KiB each. */
const COPIED_AT_ONCE = 2000;

/**
 * A book in one SQLite file, brought up to this program's schema.
 * Refuses: a newer book -> book-newer (conflict); another program's file -> not-a-book (bad-input);
 *          one with tables, triggers or views no book has -> book-altered (bad-input);
 *          what the engine or disk refuses, as `storeError` names it
 * Holds:   resolved `transact`: on the disk; faulted `transact`: nothing of it is
 */
export async function openSqliteBook(
  path: string,
  options: SqliteOptions = {},
): Promise<SqliteBook> {
  const { before, upTo = MIGRATIONS.length } = options;
  const opened: SqliteConnection[] = [];
  const open = (readonly: boolean) => {
    const made = connect(path, { readonly, ...(before === undefined ? {} : { before }) });
    opened.push(made);
    return made;
  };
  try {
    checkLength(path);
    await lookFirst(path);
    // A log that was beside the file is in it now.
    checkLength(path);
    const writer = open(false);
    const version = writer.raw.pragma('user_version', { simple: true }) as number;
    if (version > 0 && version < upTo) {
      await options.beforeUpgrade?.((to) => copyThrough(writer, to));
    }
    await bringUp(writer, version, upTo);
    return storeOn(writer, open(true), path, options.onSaved);
  } catch (thrown) {
    for (const { raw } of opened) raw.close();
    throw storeError(thrown, path);
  }
}

/**
 * A book to be read where nothing can be written beside it, as on a full disk: through one connection, which
 * needs no room. The book is as it was written by this version of the program.
 * Refuses: every change with `fault`; an older book, which has to be brought up first -> `fault`
 */
export async function openFullBook(path: string, fault: AppError): Promise<SqliteBook> {
  let only: SqliteConnection | undefined;
  try {
    only = connect(path, { readonly: true, alone: true });
    const version = only.raw.pragma('user_version', { simple: true }) as number;
    if (only.raw.pragma('application_id', { simple: true }) !== APPLICATION_ID) throw fault;
    await checkSchema(only.raw, version, path);
    if (version !== MIGRATIONS.length || !(await areFieldsOfToday(only.db))) throw fault;
    return readOnly(storeOn(only, only, path), fault);
  } catch (thrown) {
    only?.raw.close();
    throw thrown instanceof AppError ? thrown : fault;
  }
}

/**
 * The same book, refusing every change with one fault.
 * Shape: `isTrouble` where that fault is damage, which a check of the book then names
 */
export function readOnly(store: SqliteBook, fault: AppError, isTrouble = false): SqliteBook {
  return {
    ...store,
    transact: () => Promise.reject(fault),
    integrity: async () => [...(isTrouble ? [fault.detail] : []), ...(await store.integrity())],
  };
}

/** Before anything is written, also the mode of the log: is it a book, and one this program knows? */
async function lookFirst(path: string): Promise<void> {
  const raw = new Database(path);
  try {
    const version = raw.pragma('user_version', { simple: true }) as number;
    const application = raw.pragma('application_id', { simple: true }) as number;
    const empty = raw.prepare('select count(*) from sqlite_schema').pluck().get() === 0;
    if (!empty && application !== APPLICATION_ID) throw notABook(path);
    if (version > MIGRATIONS.length) throw bookNewer(path, version);
    await checkSchema(raw, version, path);
  } finally {
    raw.close();
  }
}

async function bringUp(
  { raw, db }: SqliteConnection,
  version: number,
  upTo: number,
): Promise<void> {
  if (version >= upTo && (await areFieldsOfToday(db))) return;
  await inTransaction({ raw, db }, async () => {
    for (const { up } of MIGRATIONS.slice(version, upTo)) await up(db as never);
    raw.pragma(`application_id = ${APPLICATION_ID}`);
    raw.pragma(`user_version = ${Math.max(version, upTo)}`);
    // An older schema is only ever made to test that it opens; nothing is derived for it.
    if (upTo < MIGRATIONS.length) return;
    await deriveAgain(db, indexFieldsOf);
    await db
      .insertInto('meta')
      .values({ name: 'facts', value: String(INDEX_FIELDS_VERSION) })
      .onConflict((conflict) =>
        conflict.column('name').doUpdateSet({ value: String(INDEX_FIELDS_VERSION) }),
      )
      .execute();
  });
}

async function areFieldsOfToday(db: SqliteConnection['db']): Promise<boolean> {
  const fields = await db
    .selectFrom('meta')
    .select('value')
    .where('name', '=', 'facts')
    .executeTakeFirst();
  return fields?.value === String(INDEX_FIELDS_VERSION);
}

async function inTransaction<T>({ raw, db }: SqliteConnection, work: () => Promise<T>): Promise<T> {
  await sql`begin immediate`.execute(db);
  try {
    const result = await work();
    await sql`commit`.execute(db);
    return result;
  } catch (thrown) {
    // The engine may have rolled back by itself, on a full disk for one.
    if (raw.inTransaction) raw.exec('rollback');
    throw thrown;
  }
}

function storeOn(
  writer: SqliteConnection,
  reader: SqliteConnection,
  path: string,
  onSaved: (seq: number) => void = () => {},
): SqliteBook {
  let queue: Promise<unknown> = Promise.resolve();
  let copying: Promise<unknown> = Promise.resolve();
  let lost: unknown;
  const writes = writesOn(writer.db);
  const faultOfFiles = openFiles(path);
  const transact: BookStore['transact'] = (work) => {
    const turn = queue.then(async () => {
      lost ??= faultOfFiles(true);
      if (lost !== undefined) throw lost;
      try {
        let seq: number | undefined;
        const counting = {
          ...writes,
          addGroup: async (group: Parameters<typeof writes.addGroup>[0]) =>
            (seq = await writes.addGroup(group)),
        };
        const done = await inTransaction(writer, () => work(counting));
        lost = faultOfFiles(false);
        if (lost !== undefined) throw lost;
        if (seq !== undefined) onSaved(seq);
        // The engine never waits, so a row of changes would let nobody else be heard.
        await new Promise((resolve) => setImmediate(resolve));
        return done;
      } catch (thrown) {
        const fault = storeError(thrown, path);
        if (losesTrust(thrown)) lost = fault;
        throw fault;
      }
    });
    queue = turn.catch(() => undefined);
    return turn;
  };
  return {
    ...readsTelling(readsOn(reader.db), path),
    capabilities: { soleOwner: true, durable: true },
    transact,
    async integrity() {
      try {
        const found = reader.raw.pragma('integrity_check') as { integrity_check: string }[];
        const torn = reader.raw.pragma('foreign_key_check') as { table: string; parent: string }[];
        return [
          ...found.map((row) => row.integrity_check).filter((text) => text !== 'ok'),
          ...torn.map(({ table, parent }) => `a row of ${table} names no ${parent}`),
        ];
      } catch (thrown) {
        return [String((storeError(thrown, path) as Error).message)];
      }
    },
    async copyTo(to) {
      let begun: () => void = () => {};
      // The first step must not meet a half-done change: the copy would then be taken for finished.
      const started = new Promise<void>((resolve) => {
        begun = resolve;
      });
      const copied = queue.then(() => copyThrough(writer, to, begun));
      queue = Promise.race([started, copied]).catch(() => undefined);
      copying = copied.catch(() => undefined);
      await copied;
    },
    async close() {
      await queue;
      await copying;
      reader.raw.close();
      writer.raw.close();
    },
  };
}

async function copyThrough({ raw }: SqliteConnection, to: string, begun = () => {}): Promise<void> {
  try {
    await raw.backup(to, {
      progress: () => {
        begun();
        return COPIED_AT_ONCE;
      },
    });
    plainFile(to);
  } catch (thrown) {
    throw storeError(thrown, to);
  }
}

/** Takes a copy out of the mode that keeps a log beside it. */
function plainFile(path: string): void {
  const raw = new Database(path);
  try {
    raw.pragma('journal_mode = DELETE');
  } finally {
    raw.close();
  }
}

/** Reads with the engine's faults in our words. */
function readsTelling(reads: ReturnType<typeof readsOn>, path: string): typeof reads {
  const timed = Object.entries(reads).map(([name, read]) => [
    name,
    async (...args: unknown[]) => {
      try {
        return await (read as (...args: unknown[]) => Promise<unknown>)(...args);
      } catch (thrown) {
        throw storeError(thrown, path);
      }
    },
  ]);
  return Object.fromEntries(timed);
}

function notABook(path: string): AppError {
  return new AppError({
    code: 'not-a-book',
    kind: 'bad-input',
    detail: `${path} belongs to another program.`,
    hint: 'Name the folder of a mix book, or an empty one.',
  });
}

function bookNewer(path: string, version: number): AppError {
  return new AppError({
    code: 'book-newer',
    kind: 'conflict',
    detail: `${path} was written by a newer Kneadwell (its book is of version ${version}, this program knows ${MIGRATIONS.length}).`,
    hint: 'Install the newer program. The book was left as it is.',
  });
}
