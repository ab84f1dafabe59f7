import { beforeAll, describe, expect, it } from 'vitest';
import {
  block,
  filesInMemory,
  line,
  mix,
  put,
  reading,
  steadyWorld,
  tile,
} from '../../../test/conformance/book-maker.ts';
import { memoryBookStore } from '../../../test/conformance/memory-book-store.ts';
import { familyOfName } from '../../core/colour/colour-family.ts';
import { colourName } from '../../core/colour/colour-name.ts';
import { deltaE2000 } from '../../core/colour/difference.ts';
import type { Lab } from '../../core/colour/triples.ts';
import { seededChance } from '../../core/numeric/seeded-chance.ts';
import type { BookStep } from '../../domain/records/change.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { type Book, openBook } from '../book.ts';
import { changeBook } from '../change-book.ts';
import type { MixQuestion } from '../list-service.ts';
import { mixList } from './mix-list.ts';
import { tagsOfMixes } from './tags-of-mixes.ts';
import { tileList } from './tile-list.ts';

const MIXES = 400;
const WORDS = 'moss foam kelp sand shell urchin'.split(' ');
const openedBook = () =>
  openBook({ store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() });

/** Mixes of blocks and of mixes; two in three have a tile, of which most are read. */
async function filled(): Promise<{ readonly book: Book; readonly labs: Map<string, Lab> }> {
  const book = openedBook();
  const labs = new Map<string, Lab>();
  const { uniform } = seededChance(88);
  const upTo = (n: number) => Math.floor(uniform() * n);
  const steps: BookStep[] = [line('saltmarsh'), line('brindle')];
  for (let i = 0; i < 12; i++) steps.push(block(`b${i}`, i % 3 === 0 ? 'brindle' : 'saltmarsh'));
  steps.push(put('box', 'chest', { lid: 'Chest', holds: [] }));
  steps.push(
    put('box', 'box', {
      lid: 'Box',
      insideOf: 'chest',
      holds: [],
    }),
  );
  for (let i = 0; i < MIXES; i++) {
    const parts = [0, 1].map(() => {
      const ofMix = i > 20 && uniform() < 0.2;
      return [
        ofMix ? 'mix' : 'block',
        ofMix ? `m${upTo(i)}` : `b${upTo(12)}`,
        1 + upTo(5),
      ] as const;
    });
    steps.push(
      mix(`m${i}`, [...new Map(parts.map((part) => [part[1], part])).values()], {
        code: `K${upTo(5000)}x${i}`,
        name: `${WORDS[upTo(6)]} ${WORDS[upTo(6)]} ${i}`,
        ...(uniform() < 0.4 ? { tags: [WORDS[upTo(6)], 'Sea weed'] } : {}),
        basis: uniform() < 0.5 ? 'weight' : 'volume',
      }),
    );
    if (uniform() < 0.65) {
      const boxed = uniform() < 0.2 ? { boxId: 'box' } : {};
      steps.push(tile(`t${i}`, `m${i}`, boxed));
      if (uniform() < 0.9) {
        const lab = [20 + 70 * uniform(), 80 * uniform() - 40, 80 * uniform() - 40] as const;
        labs.set(`m${i}`, lab);
        steps.push(reading(`r${i}`, `t${i}`, lab));
      }
    }
  }
  await changeBook(book, { what: 'A book', steps });
  const weighed = Array.from({ length: 9 }, (_, i) =>
    put('stock-entry', `w${i}`, {
      of: { kind: 'block', id: `b${i}` },
      on: '2026-01-01',
      why: 'counted',
      foundG: 5 + 6 * i,
    }),
  );
  await changeBook(book, { what: 'Weighed', steps: weighed });
  return { book, labs };
}

let book: Book;
let labs: ReadonlyMap<string, Lab>;
let mixes: readonly RecordOf<'mix'>[];
beforeAll(async () => {
  ({ book, labs } = await filled());
  const { records } = await book.ports.store.list({
    kind: 'mix',
    sort: 'name',
    descending: false,
    limit: 5000,
  });
  mixes = records as readonly RecordOf<'mix'>[];
});

const ask = async (question: Partial<MixQuestion>, parts = false) =>
  mixList(book, { from: 0, limit: 400, sort: 'name', descending: false, parts, ...question });
const idsOf = async (question: Partial<MixQuestion>) =>
  (await ask(question)).rows.map(({ id }) => id);

/** Blocks that are in a mix, by way of other mixes too; the slow plain way. */
const blocksIn = (id: string): ReadonlySet<string> => {
  const own = mixes.find((one) => one.id === id)?.body.parts ?? [];
  return new Set(own.flatMap(({ of }) => (of.kind === 'block' ? [of.id] : [...blocksIn(of.id)])));
};
const plain = (fits: (mix: RecordOf<'mix'>) => boolean) => mixes.filter(fits).map(({ id }) => id);

describe('a sheet of mixes', () => {
  it('has the order the store gives, in every order and both ways', async () => {
    for (const sort of ['name', 'code', 'created', 'changed'] as const) {
      for (const descending of [false, true]) {
        const listed = await book.ports.store.list({ kind: 'mix', sort, descending, limit: 400 });
        const rows = await idsOf({ sort, descending });
        if (sort === 'name' || sort === 'code') {
          expect(rows).toEqual(listed.records.map(({ id }) => id));
        } else expect(new Set(rows).size).toBe(MIXES);
      }
    }
  });

  it('gives the same rows page by page as in one', async () => {
    const whole = await ask({});
    const rows = [];
    for (let from = 0; from < MIXES; from += 37) {
      const page = await mixList(book, {
        sheet: whole.sheet,
        from,
        limit: 37,
        sort: 'name',
        descending: false,
      });
      expect(page.sheet).toBe(whole.sheet);
      rows.push(...page.rows);
    }
    expect(rows).toEqual(whole.rows);
  });

  it('narrows down as looking at every mix would', async () => {
    expect(await idsOf({ block: 'b3' })).toEqual(plain(({ id }) => blocksIn(id).has('b3')));
    const brindle = ['b0', 'b3', 'b6', 'b9'];
    expect(await idsOf({ line: 'brindle' })).toEqual(
      plain(({ id }) => brindle.some((one) => blocksIn(id).has(one))),
    );
    expect(await idsOf({ tag: 'sea Weed' })).toEqual(plain(({ body }) => body.tags !== undefined));
    expect(await idsOf({ tag: 'sea' })).toEqual([]);
    const tiled = await book.ports.store.list({
      kind: 'tile',
      sort: 'created',
      descending: false,
      limit: 5000,
    });
    const tiles = tiled.records as readonly RecordOf<'tile'>[];
    const with_ = new Set(tiles.map(({ body }) => (body.of as { id: string }).id));
    expect(await idsOf({ tile: 'with' })).toEqual(plain(({ id }) => with_.has(id)));
    expect(await idsOf({ tile: 'without' })).toEqual(plain(({ id }) => !with_.has(id)));
    const boxed = new Set(
      tiles.flatMap(({ body }) => (body.boxId === 'box' ? [(body.of as { id: string }).id] : [])),
    );
    expect(boxed.size).toBeGreaterThan(10);
    for (const box of ['box', 'chest']) {
      expect(await idsOf({ box })).toEqual(plain(({ id }) => boxed.has(id)));
    }
    const ofFamily = (id: string, family: string) =>
      labs.has(id) && familyOfName(colourName(labs.get(id)!).name) === family;
    for (const colour of ['green', 'purple', 'brown'] as const) {
      const found = await idsOf({ colour });
      expect(found.length).toBeGreaterThan(0);
      expect(found).toEqual(plain(({ id }) => ofFamily(id, colour)));
    }
    expect(await idsOf({ colour: 'green', block: 'b4', tile: 'with' })).toEqual(
      plain(({ id }) => ofFamily(id, 'green') && blocksIn(id).has('b4')),
    );
  });

  it('lays them out by nearness to a colour, by CIEDE2000', async () => {
    const lab = [50, -10, 15] as const;
    const far = (id: string) => deltaE2000(lab, labs.get(id)!);
    const near = plain(({ id }) => labs.has(id) && far(id) <= 10).sort(
      (one, other) => far(one) - far(other),
    );
    expect(near.length).toBeGreaterThan(3);
    expect(await idsOf({ near: { lab, within: 10 }, sort: 'near' })).toEqual(near);
  });

  it('puts codes and names that begin with the words first', async () => {
    const rows = (await ask({ text: 'kelp' })).rows;
    const begins = rows.map(({ name }) => name?.startsWith('kelp') === true);
    expect(begins.indexOf(false)).toBe(begins.filter(Boolean).length);
    expect(rows.length).toBe(
      plain(({ body }) => /kelp/.test(JSON.stringify([body.name, body.tags]))).length,
    );
  });

  it('stays as it was while the book changes, and says that it is behind', async () => {
    const { book: own } = await filled();
    const question = { from: 0, limit: 400, sort: 'name', descending: false } as const;
    await changeBook(own, { what: 'One', steps: [mix('free', [['block', 'b1', 1]])] });
    const before = await mixList(own, { ...question, limit: 500 });
    expect(before.behind).toBe(false);
    const [first, second] = before.rows;
    const record = (await own.ports.store.get(second.id)) as RecordOf<'mix'>;
    const free = before.rows.find(({ id }) => id === 'free')!;
    await changeBook(own, {
      what: 'Elsewhere',
      steps: [
        mix('new', [['block', 'b1', 1]], { name: 'aaa' }),
        { do: 'delete', id: free.id, version: 1 },
        { ...put('mix', second.id, { ...record.body, name: 'zzz' }, 1) },
      ],
    });
    const after = await mixList(own, { ...question, limit: 500, sheet: before.sheet });
    expect(after.sheet).toBe(before.sheet);
    expect(after.behind).toBe(true);
    expect(after.rows[0]).toEqual(first);
    expect(after.rows[1]).toEqual({ ...second, name: 'zzz' });
    expect(after.rows.find(({ id }) => id === free.id)).toEqual({ id: free.id, gone: true });
    const again = await mixList(own, { ...question, limit: 500 });
    expect(again.rows[0].id).toBe('new');
    expect(again.rows.at(-1)?.id).toBe(second.id);
    expect(again.rows.some(({ id }) => id === free.id)).toBe(false);
    // An unknown name opens a new list.
    expect((await mixList(own, { ...question, sheet: 'no' })).sheet).not.toBe('no');
  });

  it('says what leaving out each filter would give, where nothing answers', async () => {
    const nothing = await ask({ tag: 'sea weed', tile: 'without', colour: 'green' });
    expect(nothing.total).toBe(0);
    const total = async (question: Partial<MixQuestion>) => (await ask(question)).total;
    expect(nothing.without).toEqual([
      { leave: 'tag', total: 0 },
      { leave: 'colour', total: await total({ tag: 'sea weed', tile: 'without' }) },
      { leave: 'tile', total: await total({ tag: 'sea weed', colour: 'green' }) },
    ]);
    expect(nothing.without?.[2].total).toBeGreaterThan(0);
  });

  it('has parts with names of mixes among them only where asked, and tags', async () => {
    const predicted = (await ask({}, true)).rows;
    const nested = predicted.find(({ parts }) => parts?.some(({ of }) => of.kind === 'mix'))!;
    const clay = nested.parts!.find(({ of }) => of.kind === 'mix')!;
    expect(clay.name).toBe(mixes.find(({ id }) => id === clay.of.id)?.body.name);
    const short = (await ask({})).rows;
    for (const { parts } of short) expect(parts).toBeUndefined();
  });

  it('counts tags of live mixes', async () => {
    const tags = await tagsOfMixes(book, 10);
    expect(tags[0]).toEqual({
      tag: 'sea weed',
      mixes: plain(({ body }) => body.tags?.includes('Sea weed') === true).length,
    });
    expect(tags.length).toBe(7);
  });
});

describe('the start of a list while the book is still being read', () => {
  it('has the rows it has later, from the store alone', async () => {
    for (const sort of ['name', 'code', 'changed'] as const) {
      let release = () => {};
      const held = new Promise<void>((resolve) => {
        release = resolve;
      });
      const { store } = book.ports;
      const slow: typeof store = {
        ...store,
        async indexRows(...call) {
          await held;
          return store.indexRows(...call);
        },
      };
      const fresh = openBook({ ...book.ports, store: slow });
      const question = { from: 40, limit: 60, sort, descending: true };
      const early = await mixList(fresh, question);
      expect([early.total, early.rows.length]).toEqual([MIXES, 60]);
      release();
      await fresh.index.ready;
      const later = await mixList(fresh, { ...question, sheet: early.sheet });
      expect(later.sheet).not.toBe(early.sheet);
      expect(later.rows).toEqual(early.rows);
      for (const { id, lab } of early.rows) {
        expect(lab === undefined).toBe(!labs.has(id));
        if (lab !== undefined) expect(deltaE2000(lab, labs.get(id)!)).toBeLessThan(0.01);
      }
    }
  });
});

describe('what stock allows', () => {
  it('never allows what the ledger does not hold, and more for a smaller batch', async () => {
    const small = await idsOf({ stockG: 3 });
    const large = await idsOf({ stockG: 40 });
    expect(small.length).toBeGreaterThan(large.length);
    expect(large.length).toBeGreaterThan(0);
    for (const id of large) expect(small).toContain(id);
    for (const id of small) {
      for (const of of blocksIn(id)) expect(Number(of.slice(1))).toBeLessThan(9);
    }
  });

  it('follows what is weighed and what is changed', async () => {
    const { book: own } = await filled();
    const question = { from: 0, limit: 400, sort: 'name', descending: false, stockG: 30 } as const;
    const before = (await mixList(own, question)).total;
    await changeBook(own, {
      what: 'Bought',
      steps: Array.from({ length: 12 }, (_, i) =>
        put('stock-entry', `more${i}`, {
          of: { kind: 'block', id: `b${i}` },
          on: '2026-02-01',
          why: 'counted',
          foundG: 1000,
        }),
      ),
    });
    expect(before).toBeLessThan(MIXES);
    expect((await mixList(own, question)).total).toBe(MIXES);
    await changeBook(own, { what: 'One more', steps: [mix('late', [['block', 'b1', 1]])] });
    expect((await mixList(own, question)).total).toBe(MIXES + 1);
  });
});

it('lays out all tiles, the newest first, with what is in them and the colours that were read', async () => {
  const page = await tileList(book, { from: 0, limit: 400 });
  const read = page.rows.filter(({ baked }) => baked !== undefined);
  expect(read.length).toBe(labs.size);
  expect(page.rows.length).toBeGreaterThan(read.length);
  for (const { id, of, baked, parts } of read) {
    expect(of).toMatchObject({ kind: 'mix', id: id.replace('t', 'm') });
    expect(deltaE2000(baked!.lab, labs.get(of!.id)!)).toBeLessThan(0.01);
    expect(parts).toEqual(mixes.find((one) => one.id === of!.id)?.body.parts);
  }
  const { book: own } = await filled();
  await changeBook(own, {
    what: 'Read',
    steps: [
      tile('newest', 'm3', { state: 'raw' }),
      reading('of-newest', 'newest', [50, 0, 0]),
      put('reading', 'of-block', {
        of: { kind: 'block', id: 'b1' },
        readingKind: 'rough',
        state: 'raw',
        lab: { values: [40, 1, 2], light: 'D50', observer: 2 },
        spread: 5,
        geometry: 'excluded',
      }),
      tile('unread', 'm3'),
    ],
  });
  const { rows } = await tileList(own, { from: 0, limit: 400 });
  expect(rows[0]).toMatchObject({ id: 'unread', of: { kind: 'mix', id: 'm3' } });
  expect(rows[0]).not.toHaveProperty('baked');
  expect(rows[1]).toMatchObject({
    id: 'newest',
    baked: { id: 'of-newest', readingKind: 'measured' },
  });
  expect(rows.at(-1)).toMatchObject({ id: 'b1', kind: 'block', raw: { lab: [40, 1, 2] } });
});
