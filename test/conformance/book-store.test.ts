import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import { openSqliteBook } from '../../src/store/sqlite-book-store.ts';
import { bookStoreSuite } from './book-store.ts';
import { memoryBookStore } from './memory-book-store.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell-store-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let made = 0;

bookStoreSuite({
  name: 'SQLite on disk',
  make: () => openSqliteBook(join(folder, `${made++}.sqlite`)),
});
bookStoreSuite({ name: 'memory, the plain way', make: async () => memoryBookStore() });
