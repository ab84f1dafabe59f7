import Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import { AppError } from '../core/errors.ts';
import { MIGRATIONS } from './migrations.ts';

interface SchemaRow {
  readonly type: string;
  readonly name: string;
  readonly sql: string | null;
}

/** Rows of a schema with what makes them, white space and capitals evened out. */
function schemaOf(raw: Database.Database): ReadonlyMap<string, string> {
  const rows = raw.prepare('select type, name, sql from sqlite_schema').all() as SchemaRow[];
  return new Map(
    rows.map(({ type, name, sql }) => [
      `${type} ${name}`,
      (sql ?? '').toLowerCase().replace(/\s+/g, ' ').trim(),
    ]),
  );
}

const made = new Map<number, Promise<ReadonlyMap<string, string>>>();

/** The schema of a book after so many migrations: made once in memory, by the migrations themselves. */
function expectedSchema(version: number): Promise<ReadonlyMap<string, string>> {
  const known = made.get(version);
  if (known !== undefined) return known;
  const making = (async () => {
    const raw = new Database(':memory:');
    const db = new Kysely<unknown>({ dialect: new SqliteDialect({ database: raw }) });
    for (const { up } of MIGRATIONS.slice(0, version)) await up(db);
    const schema = schemaOf(raw);
    raw.close();
    return schema;
  })();
  made.set(version, making);
  return making;
}

/**
 * Holds a book to the tables and indexes its version has, and to no others: a trigger, a view or a check
 * that came in with a file would run with every change, unseen.
 * Refuses: anything more, less or other -> book-altered (bad-input)
 */
export async function checkSchema(
  raw: Database.Database,
  version: number,
  path: string,
): Promise<void> {
  const expected = await expectedSchema(version);
  const found = schemaOf(raw);
  const odd = [
    ...[...found].filter(([name, sql]) => expected.get(name) !== sql).map(([name]) => name),
    ...[...expected.keys()].filter((name) => !found.has(name)).map((name) => `no ${name}`),
  ];
  const [first] = odd;
  if (first === undefined) return;
  throw new AppError({
    code: 'book-altered',
    kind: 'bad-input',
    detail: `${path} is not as Kneadwell makes a book: it has ${shown(first)}${odd.length === 1 ? '' : ` and ${odd.length - 1} more`}.`,
    hint: 'The book was not opened, and nothing in it was changed. Restore a backup you trust.',
    more: { found: odd.slice(0, 20).map(shown) },
  });
}

function shown(name: string): string {
  return name.slice(0, 80).replace(/[\p{Cc}\p{Cs}]/gu, '·');
}
