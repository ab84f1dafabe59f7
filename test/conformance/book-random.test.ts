import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, expect, it } from 'vitest';
import { type Book, openBook } from '../../src/book/book.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { checkBook } from '../../src/book/check-book.ts';
import type { BookStore } from '../../src/book/ports.ts';
import { purgeDeleted } from '../../src/book/purge-deleted.ts';
import { redoInBook, undoInBook } from '../../src/book/undo-change.ts';
import type { BookStep } from '../../src/domain/records/change.ts';
import { BOOK_KINDS } from '../../src/domain/records/record.ts';
import { openSqliteBook } from '../../src/store/sqlite-book-store.ts';
import { block, filesInMemory, line, mix, steadyWorld } from './book-maker.ts';
import { memoryBookStore } from './memory-book-store.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneadwell-random-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const IDS = ['a', 'b', 'c', 'd', 'e'];
const id = fc.constantFrom(...IDS);
/** A possible next step; versions are the current one, or one less. */
const act = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      do: fc.constant('put'),
      id,
      of: fc.array(id, { maxLength: 2 }),
      code: fc.nat(3),
      stale: fc.nat(9),
    }),
  },
  { weight: 3, arbitrary: fc.record({ do: fc.constant('delete'), id }) },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('restore'), id }) },
  {
    weight: 3,
    arbitrary: fc.record({
      do: fc.constant('undo'),
      seq: fc.option(fc.integer({ min: 1, max: 12 })),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      do: fc.constant('redo'),
      seq: fc.option(fc.integer({ min: 1, max: 12 })),
    }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('empty') }) },
) as fc.Arbitrary<{
  do: string;
  id?: string;
  of?: string[];
  code?: number;
  stale?: number;
  seq?: number | null;
}>;

async function run(
  book: Book,
  acts: readonly (typeof act extends fc.Arbitrary<infer T> ? T : never)[],
) {
  const reply: unknown[] = [];
  await changeBook(book, {
    what: 'Began',
    steps: [
      line('l'),
      block('z', 'l'),
      ...['a', 'b', 'c'].map((id) => mix(id, [['block', 'z', 1]])),
    ],
  });
  for (const one of acts) {
    const current = one.id === undefined ? undefined : await book.ports.store.get(one.id);
    const version = current?.version ?? 1;
    const steps: BookStep[] =
      one.do === 'put'
        ? [
            mix(
              one.id!,
              [['block', 'z', 1], ...one.of!.map((of) => ['mix', of, 2] as const)],
              one.code === 0 ? {} : { code: `K${one.code}` },
              current === undefined
                ? undefined
                : one.stale === 0
                  ? Math.max(1, version - 1)
                  : version,
            ),
          ]
        : [{ do: one.do as 'delete', id: one.id ?? 'a', version }];
    const seq = one.seq === null || one.seq === undefined ? {} : { seq: one.seq };
    const doing =
      one.do === 'undo'
        ? undoInBook(book, seq)
        : one.do === 'redo'
          ? redoInBook(book, seq)
          : one.do === 'empty'
            ? purgeDeleted(book)
            : changeBook(book, { what: one.do, steps });
    reply.push(
      await doing.then(
        (answer) => answer,
        (fault) => {
          // An unexpected error is not an answer.
          if (fault.kind === undefined || fault.kind === 'internal') throw fault;
          return fault.toJSON();
        },
      ),
    );
  }
  // An index that followed every change answers like one built again.
  const fresh = openBook(book.ports);
  await Promise.all([book.index.ready, fresh.index.ready]);
  for (const text of ['k', 'k1', 'a', 'l', 'k2 b']) {
    for (const bin of [false, true]) {
      const query = { text, bin, limit: 100, offset: 0 };
      expect(book.index.words.find(query)).toEqual(fresh.index.words.find(query));
    }
  }
  const { store } = book.ports;
  const list = await store.list({ sort: 'code', descending: true, limit: 100 });
  const groups = await store.groups({ after: 0 }, 1000);
  const entries = await Promise.all(groups.map(({ seq }) => store.entries(seq)));
  return {
    reply,
    list,
    groups,
    entries,
    rows: await store.rows('', 1000),
    bodies: (
      await Promise.all(BOOK_KINDS.map((kind) => store.bodies(kind, undefined, 1000)))
    ).flat(),
    indexRows: [
      ...(await store.indexRows(true, undefined, 1000)),
      ...(await store.indexRows(false, undefined, 1000)),
    ],
    counts: [...(await store.counts())].sort(([one], [other]) => (one < other ? -1 : 1)),
    troubles: (await checkBook(book)).troubles,
  };
}

it('SQLite and the plain way answer alike, whatever is done to a book', async () => {
  let made = 0;
  let refused = 0;
  let done = 0;
  await fc.assert(
    fc.asyncProperty(fc.array(act, { minLength: 5, maxLength: 25, size: 'max' }), async (acts) => {
      const open = async (store: BookStore) => {
        const book = openBook({ store, files: filesInMemory(), ...steadyWorld() });
        try {
          return await run(book, acts);
        } finally {
          await store.close();
        }
      };
      const one = await open(await openSqliteBook(join(folder, `${made++}.sqlite`)));
      const other = await open(memoryBookStore());
      expect(one).toEqual(other);
      expect(one.troubles).toEqual([]);
      for (const answer of one.reply as { code?: string }[])
        answer.code === undefined ? done++ : refused++;
    }),
    { seed: 505, numRuns: 60 },
  );
  expect(done).toBeGreaterThan(200);
  expect(refused).toBeGreaterThan(100);
});
