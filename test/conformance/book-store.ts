import { describe, expect, it } from 'vitest';
import { type Book, openBook } from '../../src/book/book.ts';
import { changesAfter, changesOf, historyOf } from '../../src/book/book-history.ts';
import { changeBook } from '../../src/book/change-book.ts';
import { checkBook } from '../../src/book/check-book.ts';
import { listBook } from '../../src/book/list-book.ts';
import type { BookStore } from '../../src/book/ports.ts';
import { purgeDeleted } from '../../src/book/purge-deleted.ts';
import { bytesOf, saveClayModel, savePhoto } from '../../src/book/save-file.ts';
import { nearestInBook, searchBook } from '../../src/book/search-book.ts';
import { stockOnHand } from '../../src/book/stock-on-hand.ts';
import { redoInBook, undoInBook } from '../../src/book/undo-change.ts';
import type { BookStep } from '../../src/domain/records/change.ts';
import { block, filesInMemory, line, mix, put, reading, steadyWorld, tile } from './book-maker.ts';

export interface StoreMaker {
  readonly name: string;
  /** A new and empty store; the suite closes it. */
  make(): Promise<BookStore>;
}

/** Tests for every store of a book, whatever its engine. */
export function bookStoreSuite({ name, make }: StoreMaker): void {
  const withBook = (work: (book: Book) => Promise<void>) => async () => {
    const store = await make();
    try {
      const book = openBook({ store, files: filesInMemory(), ...steadyWorld() });
      await work(book);
      expect((await checkBook(book)).troubles).toEqual([]);
    } finally {
      await store.close();
    }
  };
  const change = (book: Book, what: string, ...steps: BookStep[]) =>
    changeBook(book, { what, steps });
  const bin = (id: string, version: number): BookStep => ({ do: 'delete', id, version });
  const restore = (id: string, version: number): BookStep => ({ do: 'restore', id, version });
  const studio = (book: Book) =>
    change(
      book,
      'Began the book',
      line('saltmarsh', 'Saltmarsh'),
      block('kelp', 'saltmarsh', { name: 'Kelp', code: 'KL' }),
      block('foam', 'saltmarsh', { name: 'Foam' }),
      mix(
        'moss',
        [
          ['block', 'kelp', 5],
          ['block', 'foam', 2],
        ],
        { code: 'K7', name: 'Sea moss', tags: ['Weeds'] },
      ),
    );
  const versions = async (book: Book, ...ids: string[]) => {
    const found = await book.ports.store.getMany(ids);
    return ids.map((id) => found.get(id)?.version);
  };

  describe(`a book in ${name}`, () => {
    it(
      'keeps records as they were put, under versions that rise',
      withBook(async (book) => {
        const { group, records } = await studio(book);
        expect(group).toMatchObject({ seq: 1, what: 'Began the book', sort: 'change', records: 4 });
        expect(records.map(({ id, version }) => [id, version])).toEqual([
          ['saltmarsh', 1],
          ['kelp', 1],
          ['foam', 1],
          ['moss', 1],
        ]);
        await change(
          book,
          'Renamed',
          put('line', 'saltmarsh', { name: 'Saltmarsh II', status: 'current' }, 1),
        );
        const found = await book.ports.store.get('saltmarsh');
        expect(found).toEqual({
          kind: 'line',
          id: 'saltmarsh',
          version: 2,
          createdAt: '2026-01-01T00:00:01.000Z',
          changedAt: '2026-01-01T00:00:02.000Z',
          body: { name: 'Saltmarsh II', status: 'current' },
        });
        expect(await book.ports.store.get('nobody')).toBeUndefined();
      }),
    );

    it(
      'names new records where the caller does not',
      withBook(async (book) => {
        const { records } = await changeBook(book, {
          what: 'A label',
          steps: [{ do: 'put', kind: 'collection', body: { name: 'For the shop' } }],
        });
        expect(records[0].id).toBe('new-0001');
      }),
    );

    it(
      'refuses a stale write with both versions, and changes nothing',
      withBook(async (book) => {
        await studio(book);
        await change(book, 'First', put('line', 'saltmarsh', { name: 'A', status: 'current' }, 1));
        const stale = change(
          book,
          'Second',
          block('new-block', 'saltmarsh'),
          put('line', 'saltmarsh', { name: 'B', status: 'current' }, 1),
        );
        await expect(stale).rejects.toMatchObject({
          code: 'stale-write',
          kind: 'conflict',
          more: {
            yourVersion: 1,
            yours: { name: 'B' },
            current: { version: 2, body: { name: 'A' } },
          },
        });
        expect(await versions(book, 'saltmarsh', 'new-block')).toEqual([2, undefined]);
        expect(await book.ports.store.lastSeq()).toBe(2);
      }),
    );

    it(
      'refuses what is no record, naming the field',
      withBook(async (book) => {
        const body = { name: 'x', status: 'current', secret: 1 } as never;
        await expect(change(book, 'Bad', put('line', 'a', body))).rejects.toMatchObject({
          code: 'bad-change',
          kind: 'bad-input',
        });
        await studio(book);
        await expect(studio(book)).rejects.toMatchObject({ code: 'id-taken' });
        await expect(change(book, 'x', bin('nobody', 1))).rejects.toMatchObject({
          code: 'not-in-book',
        });
        await expect(
          change(book, 'x', put('collection', 'kelp', { name: 'x' }, 1)),
        ).rejects.toMatchObject({ code: 'other-kind' });
        await expect(change(book, 'x', line('twin'), line('twin'))).rejects.toMatchObject({
          code: 'twice-in-a-change',
        });
      }),
    );

    it(
      'does a change sent twice under one key once',
      withBook(async (book) => {
        const sent = {
          what: 'Label',
          key: 'abc',
          steps: [put('collection', 'shop', { name: 'Shop' })],
        };
        expect((await changeBook(book, sent)).repeated).toBe(false);
        const again = await changeBook(book, sent);
        expect(again.repeated).toBe(true);
        expect(again.records.map(({ id }) => id)).toEqual(['shop']);
        expect(await book.ports.store.lastSeq()).toBe(1);
      }),
    );

    it(
      'lets two live records of a kind never share a code, however it is spelt',
      withBook(async (book) => {
        await studio(book);
        const twin = mix('twin', [['block', 'kelp', 1]], { code: 'k7' });
        await expect(change(book, 'Twin', twin)).rejects.toMatchObject({
          code: 'code-taken',
          more: { id: 'twin', holder: 'moss' },
        });
        // A tile may have the code of its mix.
        await change(book, 'Tile', tile('t1', 'moss', { code: 'K7' }));
        await change(book, 'Other', mix('other', [['block', 'foam', 1]], { code: 'K8' }));
        // Two may swap in one change.
        await change(
          book,
          'Swapped',
          mix('other', [['block', 'foam', 1]], { code: 'K7' }, 1),
          mix('moss', [['block', 'kelp', 1]], { code: 'K8' }, 1),
        );
        expect(await book.ports.store.codeHolders([{ space: 'mix', key: 'k7' }])).toEqual([
          { space: 'mix', key: 'k7', id: 'other' },
        ]);
        await change(book, 'Deleted', bin('other', 2));
        await change(book, 'Imported', mix('twin', [['block', 'kelp', 1]], { code: 'k 7' }));
        await expect(change(book, 'Back', restore('other', 3))).rejects.toMatchObject({
          code: 'code-taken',
        });
      }),
    );

    it(
      'never lets a record lean on nothing',
      withBook(async (book) => {
        await studio(book);
        await expect(change(book, 'x', bin('kelp', 1))).rejects.toMatchObject({
          code: 'in-use',
          more: { id: 'kelp', users: [{ id: 'moss', kind: 'mix', role: 'parts' }] },
        });
        await expect(change(book, 'x', mix('bad', [['block', 'nobody', 1]]))).rejects.toMatchObject(
          { code: 'leans-on-nothing', more: { needs: 'nobody' } },
        );
        await expect(change(book, 'x', mix('bad', [['block', 'moss', 1]]))).rejects.toMatchObject({
          code: 'wrong-kind',
          more: { found: 'mix' },
        });
        await change(book, 'Both at once', bin('kelp', 1), bin('moss', 1));
        await expect(change(book, 'x', restore('moss', 2))).rejects.toMatchObject({
          code: 'leans-on-nothing',
          more: { needs: 'kelp' },
        });
        await change(book, 'Both back', restore('moss', 2), restore('kelp', 2));
        expect(await versions(book, 'kelp', 'moss')).toEqual([3, 3]);
      }),
    );

    it(
      'refuses mixes that are made of themselves, and names the circle',
      withBook(async (book) => {
        await studio(book);
        await expect(change(book, 'x', mix('self', [['mix', 'self', 1]]))).rejects.toMatchObject({
          code: 'goes-in-a-circle',
          more: { circle: ['self'] },
        });
        await change(book, 'Nest', mix('b', [['mix', 'moss', 1]]), mix('c', [['mix', 'b', 1]]));
        await expect(
          change(book, 'x', mix('moss', [['mix', 'c', 1]], {}, 1)),
        ).rejects.toMatchObject({ code: 'goes-in-a-circle', more: { circle: ['moss', 'c', 'b'] } });
        // A diamond is no circle.
        await change(
          book,
          'Diamond',
          mix('d', [
            ['mix', 'c', 1],
            ['mix', 'b', 1],
          ]),
        );
      }),
    );

    it(
      'undoes and does again, step by step, losing nothing',
      withBook(async (book) => {
        await studio(book);
        await change(book, 'A', put('line', 'saltmarsh', { name: 'A', status: 'current' }, 1));
        await change(book, 'B', put('line', 'saltmarsh', { name: 'B', status: 'current' }, 2));
        const nameNow = async () => {
          const record = await book.ports.store.get('saltmarsh');
          return record?.kind === 'line' ? record.body.name : undefined;
        };
        expect((await undoInBook(book)).group).toMatchObject({
          sort: 'undo',
          root: 3,
          what: 'Undid: B',
        });
        expect(await nameNow()).toBe('A');
        await undoInBook(book);
        expect(await nameNow()).toBe('Saltmarsh');
        expect((await redoInBook(book)).group).toMatchObject({ sort: 'redo', root: 2 });
        expect(await nameNow()).toBe('A');
        await redoInBook(book);
        expect(await nameNow()).toBe('B');
        await expect(redoInBook(book)).rejects.toMatchObject({ code: 'nothing-to-redo' });
        await undoInBook(book);
        await undoInBook(book);
        await undoInBook(book);
        expect(
          await book.ports.store.list({ sort: 'name', descending: false, limit: 9 }),
        ).toMatchObject({
          total: 0,
        });
        await expect(undoInBook(book)).rejects.toMatchObject({
          code: 'nothing-to-undo',
          kind: 'not-found',
        });
        await redoInBook(book);
        expect(await nameNow()).toBe('Saltmarsh');
        const steps = await historyOf(book, 'saltmarsh', { limit: 100 });
        expect(steps.map(({ after }) => after?.version)).toEqual([
          11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1,
        ]);
        expect(steps[steps.length - 1].group.what).toBe('Began the book');
        // A new change ends what could be done again.
        await change(book, 'C', put('collection', 'c', { name: 'C' }));
        await expect(redoInBook(book)).rejects.toMatchObject({ code: 'nothing-to-redo' });
      }),
    );

    it(
      'undoes an older change where no later one touched it, and else says which did',
      withBook(async (book) => {
        await studio(book);
        await change(book, 'A label', put('collection', 'shop', { name: 'Shop' }));
        await change(
          book,
          'Renamed',
          put('line', 'saltmarsh', { name: 'A', status: 'current' }, 1),
        );
        await change(
          book,
          'Renamed it again',
          put('line', 'saltmarsh', { name: 'B', status: 'current' }, 2),
        );
        await expect(undoInBook(book, { seq: 3 })).rejects.toMatchObject({
          code: 'changed-since',
          kind: 'conflict',
          more: { id: 'saltmarsh', laterSeq: 4 },
        });
        await undoInBook(book, { seq: 2 });
        expect(await book.ports.store.get('shop')).toHaveProperty('deletedAt');
        await expect(undoInBook(book, { seq: 2 })).rejects.toMatchObject({
          code: 'nothing-to-undo',
        });
        // A record that others refer to cannot be undone.
        await change(book, 'Line', line('brindle'));
        await change(book, 'Block', block('sand', 'brindle'));
        await expect(undoInBook(book, { seq: 6 })).rejects.toMatchObject({ code: 'in-use' });
      }),
    );

    it(
      'empties the bin for good, and only the bin',
      withBook(async (book) => {
        await studio(book);
        const bytes = new TextEncoder().encode('a photo');
        const body = { mediaType: 'image/jpeg' as const };
        await savePhoto(book, { bytes, body, what: 'Photo', id: 'p1' });
        await savePhoto(book, { bytes, body, what: 'Photo', id: 'p2' });
        await change(book, 'Deleted', bin('moss', 1), bin('p1', 1));
        expect(await purgeDeleted(book)).toMatchObject({ records: 2, files: 0 });
        expect(await versions(book, 'moss', 'kelp', 'p1', 'p2')).toEqual([
          undefined,
          1,
          undefined,
          1,
        ]);
        expect(
          (await historyOf(book, 'moss', { limit: 9 })).every((s) => s.after === undefined),
        ).toBe(true);
        await expect(undoInBook(book, { seq: 1 })).rejects.toMatchObject({ code: 'gone-for-good' });
        await expect(undoInBook(book, { seq: 5 })).rejects.toMatchObject({ code: 'gone-for-good' });
        // The change in between is still complete.
        expect((await undoInBook(book)).group).toMatchObject({ root: 3 });
        expect(await purgeDeleted(book)).toMatchObject({ records: 1, files: 1 });
        expect(await purgeDeleted(book)).toEqual({ records: 0, files: 0 });
      }),
    );

    it(
      'keeps files before the records that name them, and the same bytes once',
      withBook(async (book) => {
        const bytes = new TextEncoder().encode('{"sealed":true}');
        const body = { name: 'All clays', basis: 'volume', clays: [{ name: 'Kelp' }] } as const;
        const learned = { ...body, learnedFrom: [] };
        const { records } = await saveClayModel(book, bytes, learned, 'Learned');
        await saveClayModel(book, bytes, learned, 'Learned again');
        const [model] = records;
        expect(model.kind).toBe('clay-model');
        if (model.kind !== 'clay-model') return;
        expect(await bytesOf(book, model)).toEqual(bytes);
        expect(await book.ports.files.list()).toHaveLength(1);
        await change(book, 'Deleted', bin(model.id, 1));
        // The other record still names the file.
        expect(await purgeDeleted(book)).toMatchObject({ records: 1, files: 0 });
        expect(await bytesOf(book, model)).toEqual(bytes);
      }),
    );

    it(
      'lists by page, sorted as people count, while others change it',
      withBook(async (book) => {
        await studio(book);
        const mixes = Array.from({ length: 25 }, (_, i) =>
          mix(`m${i}`, [['block', 'kelp', 1]], {
            code: `R${i}`,
            tags: i % 2 === 0 ? ['Even'] : [],
            status: i < 5 ? 'test' : 'saved',
          }),
        );
        await change(book, 'Many', ...mixes);
        const call = { kind: 'mix' as const, sort: 'code' as const, limit: 10 };
        const first = await listBook(book, call);
        expect(first.total).toBe(26);
        const codes = (page: typeof first) =>
          page.records.map(({ body }) => 'code' in body && body.code);
        expect(codes(first)).toEqual(['K7', 'R0', 'R1', 'R2', 'R3', 'R4', 'R5', 'R6', 'R7', 'R8']);
        await change(book, 'Gone', bin('m8', 1));
        const second = await listBook(book, { ...call, cursor: first.cursor! });
        expect(codes(second)[0]).toBe('R9');
        const third = await listBook(book, { ...call, cursor: second.cursor! });
        expect(codes(third)).toEqual(['R19', 'R20', 'R21', 'R22', 'R23', 'R24']);
        expect(third.cursor).toBeUndefined();
        const back = await listBook(book, { ...call, descending: true, limit: 2 });
        expect(codes(back)).toEqual(['R24', 'R23']);
        expect((await listBook(book, { ...call, tag: 'EVEN' })).total).toBe(12);
        expect((await listBook(book, { ...call, status: 'test' })).total).toBe(5);
        expect((await listBook(book, { ...call, uses: { id: 'foam', role: 'parts' } })).total).toBe(
          1,
        );
        expect((await listBook(book, { ...call, bin: true })).total).toBe(1);
        await expect(listBook(book, { ...call, cursor: 'x' })).rejects.toMatchObject({
          code: 'bad-page',
        });
        await expect(listBook(book, { ...call, limit: 0 })).rejects.toMatchObject({
          code: 'bad-page',
        });
      }),
    );

    it(
      'finds by code, name, tag, line and colour words, and follows changes',
      withBook(async (book) => {
        await studio(book);
        await change(book, 'Tile', tile('t1', 'moss'), reading('r1', 't1', [60, 2, 60]));
        const ids = async (text: string, kinds?: readonly ('mix' | 'block' | 'tile')[]) => {
          const query = { text, limit: 10, offset: 0, ...(kinds === undefined ? {} : { kinds }) };
          return (await searchBook(book, query)).records.map(({ id }) => id);
        };
        expect(await ids('k7')).toEqual(['moss', 't1']);
        expect(await ids('SEA mo')).toEqual(['moss', 't1']);
        expect(await ids('weeds', ['mix'])).toEqual(['moss']);
        expect(await ids('saltm', ['mix', 'block'])).toEqual(['moss', 'kelp', 'foam']);
        expect(await ids('yellow moss', ['mix'])).toEqual(['moss']);
        expect(await ids('green', ['mix'])).toEqual([]);
        await change(
          book,
          'Line',
          put('line', 'saltmarsh', { name: 'Lantern', status: 'current' }, 1),
        );
        expect(await ids('saltm', ['mix', 'block'])).toEqual([]);
        expect(await ids('lantern', ['block'])).toEqual(['kelp', 'foam']);
        await undoInBook(book, { seq: 2 });
        expect(await ids('yellow', ['mix'])).toEqual([]);
        expect(await ids('')).toEqual([]);
        // Another index, read from the stored one, gives the same answers.
        const other = openBook(book.ports);
        const query = { text: 'lantern', limit: 10, offset: 0 };
        expect((await searchBook(other, query)).records).toEqual(
          (await searchBook(book, query)).records,
        );
      }),
    );

    it(
      'finds the nearest colours, each mix once, raw and deleted ones aside',
      withBook(async (book) => {
        await studio(book);
        await change(
          book,
          'More',
          mix('sand', [['block', 'foam', 1]], { predicted: { lab: [80, 4, 20], plusMinus: 3 } }),
          tile('t1', 'moss'),
          reading('r1', 't1', [50, -20, 20]),
          reading('r2', 't1', [51, -20, 20]),
          put('reading', 'r3', {
            of: { kind: 'block', id: 'kelp' },
            readingKind: 'rough',
            state: 'raw',
            lab: { values: [50, -20, 21], light: 'D50', observer: 2 },
            spread: 5,
            geometry: 'excluded',
          }),
        );
        const near = async (more: { raw?: boolean; within?: number } = {}) =>
          (await nearestInBook(book, { lab: [50, -20, 21], top: 5, ...more })).map(
            ({ id, source, predicted }) => [id, source, predicted],
          );
        expect(await near()).toEqual([
          ['moss', 'r1', false],
          ['sand', 'sand', true],
        ]);
        expect((await near({ raw: true }))[0]).toEqual(['kelp', 'r3', false]);
        expect(await near({ within: 5 })).toEqual([['moss', 'r1', false]]);
        await change(book, 'Deleted', bin('r1', 1));
        expect((await near())[0]).toEqual(['moss', 'r2', false]);
      }),
    );

    it(
      'sums the stock from the ledger, from the last count on',
      withBook(async (book) => {
        await studio(book);
        const of = { kind: 'block' as const, id: 'kelp' };
        await change(
          book,
          'Ledger',
          put('stock-entry', 'a', { of, on: '2026-01-05', why: 'used', changeG: -10 }),
          put('stock-entry', 'b', { of, on: '2026-01-02', why: 'counted', foundG: 40 }),
          put('stock-entry', 'c', { of, on: '2026-01-01', why: 'bought', changeG: 57 }),
          put('stock-entry', 'd', { of, on: '2026-01-06', why: 'bought', changeG: 57 }),
        );
        const expected = [{ of, grams: 87, asOf: '2026-01-06' }];
        expect(await stockOnHand(book, 'kelp')).toEqual(expected);
        expect(await stockOnHand(book)).toEqual(expected);
        expect(await stockOnHand(book, 'foam')).toEqual([]);
      }),
    );

    it(
      'tells every change once, in order, and what was missed',
      withBook(async (book) => {
        const heard: number[] = [];
        const stop = book.listen(({ group }) => void heard.push(group.seq));
        await studio(book);
        await Promise.all(
          ['x', 'y', 'z'].map((id) => change(book, id, put('collection', id, { name: id }))),
        );
        await undoInBook(book);
        stop();
        await change(book, 'Silent', put('collection', 'w', { name: 'w' }));
        expect(heard).toEqual([1, 2, 3, 4, 5]);
        const newest = await changesOf(book, { limit: 2 });
        expect(newest.map(({ what }) => what)).toEqual(['Silent', 'Undid: z']);
        expect((await changesOf(book, { before: 5, limit: 9 })).map(({ seq }) => seq)).toEqual([
          4, 3, 2, 1,
        ]);
        const missed = await changesAfter(book, 3, 100);
        expect(missed.map(({ group }) => group.seq)).toEqual([4, 5, 6]);
        expect(missed[1].records).toEqual([
          { kind: 'collection', id: 'z', version: 2, deleted: true },
        ]);
      }),
    );

    it(
      'takes everything back when the work faults half-way',
      withBook(async (book) => {
        await studio(book);
        const { store } = book.ports;
        const halfway = store.transact(async (writes) => {
          const seq = await writes.addGroup({ at: 'x', what: 'x', sort: 'change', records: 1 });
          const before = (await writes.get('moss'))!;
          const [row] = await writes.rows('mos', 1);
          const after = { ...before, version: 2, deletedAt: '2026-01-01T00:00:00.000Z' };
          await writes.write(seq, [{ before, after, facts: row.facts }]);
          expect((await writes.get('moss'))?.version).toBe(2);
          throw new RangeError('half-way');
        });
        await expect(halfway).rejects.toThrow('half-way');
        expect(await versions(book, 'moss')).toEqual([1]);
        expect(await store.lastSeq()).toBe(1);
      }),
    );
  });
}
