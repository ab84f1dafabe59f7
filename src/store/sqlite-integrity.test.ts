import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, expect, it } from 'vitest';
import { openSqliteBook } from './sqlite-book-store.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell-integrity-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('names the table in which a named row is missing', async () => {
  const path = join(folder, 'book.sqlite');
  await (await openSqliteBook(path)).close();
  const raw = new Database(path);
  raw.pragma('foreign_keys = OFF');
  raw.exec("insert into tag (record_id, tag) values ('nobody', 'moss')");
  raw.close();
  const store = await openSqliteBook(path);
  try {
    expect(await store.integrity()).toEqual(['a row of tag names no record']);
  } finally {
    await store.close();
  }
});
