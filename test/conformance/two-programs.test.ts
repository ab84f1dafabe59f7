import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { type Book, openBook } from '../../src/book/book.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { mixList } from '../../src/book/lists/mix-list.ts';
import { tagsOfMixes } from '../../src/book/lists/tags-of-mixes.ts';
import type { BookStore } from '../../src/book/ports.ts';
import { purgeDeleted } from '../../src/book/purge-deleted.ts';
import { nearestInBook, searchBook } from '../../src/book/search-book.ts';
import { undoInBook } from '../../src/book/undo-change.ts';
import { openSqliteBook } from '../../src/store/sqlite-book-store.ts';
import { block, filesInMemory, line, mix, put, reading, steadyWorld, tile } from './book-maker.ts';
import { memoryBookStore } from './memory-book-store.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell-two-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const stores: readonly (readonly [name: string, open: () => Promise<readonly BookStore[]>])[] = [
  [
    'in memory',
    async () => {
      const store = memoryBookStore();
      return [store, store];
    },
  ],
  [
    'in one SQLite file that is opened twice',
    async () => {
      const path = join(folder, 'book.sqlite');
      return [await openSqliteBook(path), await openSqliteBook(path)];
    },
  ],
];

const question = { from: 0, limit: 50, sort: 'created', descending: false } as const;
const listed = async (book: Book) => (await mixList(book, question)).rows.map(({ id }) => id);
const found = async (book: Book, text: string) =>
  (await searchBook(book, { text, limit: 50, offset: 0 })).records.map(({ id }) => id);

// The lock of a folder keeps two programs apart today. A store that several programs share has none.
describe.each(stores)('two programs on a book %s', (_, open) => {
  it('hear each other: lists, search, colours, undo and what is deleted for good', async () => {
    const [first, second] = await open();
    const here = openBook({ store: first, files: filesInMemory(), ...steadyWorld() });
    const there = openBook({ store: second, files: filesInMemory(), ...steadyWorld() });
    try {
      expect(await listed(there)).toEqual([]);
      await changeBook(here, {
        what: 'Began',
        steps: [
          line('saltmarsh', 'Saltmarsh'),
          block('kelp', 'saltmarsh'),
          mix('moss', [['block', 'kelp', 1]], { tags: ['Weeds'] }),
        ],
      });
      expect(await listed(there)).toEqual(['moss']);
      expect(await found(there, 'saltmarsh')).toEqual(['saltmarsh', 'moss', 'kelp']);
      expect(await tagsOfMixes(there, 5)).toEqual([{ tag: 'weeds', mixes: 1 }]);

      // Turn by turn, and several changes at once.
      await changeBook(there, { what: 'Sand', steps: [mix('sand', [['mix', 'moss', 1]])] });
      for (const id of ['eel', 'foam']) {
        await changeBook(here, { what: id, steps: [mix(id, [['block', 'kelp', 2]])] });
      }
      await changeBook(there, {
        what: 'Read',
        steps: [tile('t', 'eel'), reading('r', 't', [50, -30, 20])],
      });
      for (const book of [here, there]) {
        expect(await listed(book)).toEqual(['moss', 'sand', 'eel', 'foam']);
        const near = await nearestInBook(book, { lab: [50, -30, 20], top: 1 });
        expect(near.map(({ id }) => id)).toEqual(['eel']);
        expect((await mixList(book, { ...question, colour: 'green' })).total).toBe(1);
      }

      await undoInBook(here, { seq: 2 });
      await changeBook(there, {
        what: 'Renamed',
        steps: [put('line', 'saltmarsh', { name: 'Lantern', status: 'current' }, 1)],
      });
      await purgeDeleted(here);
      for (const book of [here, there]) {
        expect(await listed(book)).toEqual(['moss', 'eel', 'foam']);
        expect(await found(book, 'sand')).toEqual([]);
        expect(await found(book, 'lantern')).toEqual(['saltmarsh', 'foam', 'eel', 'moss', 'kelp']);
      }
      // An index that is read now says the same as those that followed.
      const fresh = openBook({ store: first, files: filesInMemory(), ...steadyWorld() });
      for (const text of ['lantern', 'eel', 'weeds', 'green']) {
        expect(await found(there, text)).toEqual(await found(fresh, text));
      }
    } finally {
      for (const store of new Set([first, second])) await store.close();
    }
  });
});
