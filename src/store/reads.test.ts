import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { readsOn } from './reads.ts';
import { openSqliteBook } from './sqlite-book-store.ts';
import { connect } from './sqlite-connection.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell-reads-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('finds who names a record from that record, and does not read every live one', async () => {
  const path = join(folder, 'book.sqlite');
  await (await openSqliteBook(path)).close();
  const asked: string[] = [];
  const { raw, db } = connect(path, { readonly: true, before: (sql) => asked.push(sql) });
  try {
    // As many as a list shows: for two or three ids the engine needs no help.
    const ids = Array.from({ length: 100 }, (_, i) => `mix-${i}`);
    await readsOn(db).usersOf(ids);
    expect(asked).toHaveLength(1);
    const plan = raw.prepare(`explain query plan ${asked[0]}`).all(...ids, 0, 1);
    const [first, second] = plan.map((step) => (step as { detail: string }).detail);
    expect(first).toContain('link USING INDEX link_to (to_id=?)');
    expect(second).toContain('record USING INDEX sqlite_autoindex_record_1 (id=?)');
  } finally {
    raw.close();
  }
});
