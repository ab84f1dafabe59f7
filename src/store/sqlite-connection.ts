import Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import type { Tables } from './schema.ts';

/** A test or a drill may look at every statement first, and throw where the engine would. */
export type BeforeStatement = (sql: string) => void;

export interface SqliteConnection {
  readonly raw: Database.Database;
  readonly db: Kysely<Tables>;
}

/** Milliseconds to wait for another reader of the file, such as a copy being made. */
const PATIENCE_MS = 5000;

/**
 * One connection: every commit is on the disk when it returns (write-ahead log, flushed each time).
 * Source: sqlite.org/pragma.html, synchronous FULL in WAL mode, fullfsync
 */
export function connect(
  path: string,
  {
    readonly,
    alone = false,
    before,
  }: {
    readonly readonly: boolean;
    /** No other connection: then nothing is needed beside the file, which a full disk has no room for. */
    readonly alone?: boolean;
    readonly before?: BeforeStatement;
  },
): SqliteConnection {
  const raw = new Database(path, { timeout: PATIENCE_MS });
  try {
    // Before the log is first used, so that its index is in memory. Source: sqlite.org/wal.html, section 6
    if (alone) raw.pragma('locking_mode = EXCLUSIVE');
    raw.pragma('journal_mode = WAL');
    raw.pragma('synchronous = FULL');
    // On macOS a plain flush leaves the bytes in the memory of the disk; elsewhere these change nothing.
    raw.pragma('fullfsync = ON');
    raw.pragma('checkpoint_fullfsync = ON');
    raw.pragma('foreign_keys = ON');
    raw.pragma('trusted_schema = OFF');
    raw.pragma('cell_size_check = ON');
    raw.pragma('temp_store = MEMORY');
    raw.pragma(`cache_size = ${readonly ? -16_000 : -8000}`);
    if (readonly) raw.pragma('query_only = ON');
  } catch (thrown) {
    raw.close();
    throw thrown;
  }
  return {
    raw,
    db: new Kysely<Tables>({ dialect: new SqliteDialect({ database: prepared(raw, before) }) }),
  };
}

/** How many statements are kept ready; queries are few, lists of ids come in a few lengths. */
const KEPT = 300;

/** The engine as the query layer sees it, statements kept ready between calls. */
function prepared(raw: Database.Database, before?: BeforeStatement) {
  const ready = new Map<string, Database.Statement>();
  return {
    close: () => void raw.close(),
    prepare(sql: string) {
      before?.(sql);
      let statement = ready.get(sql);
      if (statement === undefined) {
        if (ready.size >= KEPT) ready.clear();
        statement = raw.prepare(sql);
        ready.set(sql, statement);
      }
      const found = statement;
      return {
        reader: found.reader,
        all: (params: readonly unknown[]) => found.all(...params),
        run: (params: readonly unknown[]) => found.run(...params),
        iterate: (params: readonly unknown[]) =>
          found.iterate(...params) as IterableIterator<unknown>,
      };
    },
  };
}
