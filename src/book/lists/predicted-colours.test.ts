import { beforeEach, describe, expect, it, vi } from 'vitest';
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
import { COLOUR_FAMILIES } from '../../core/colour/colour-families.ts';
import { familyOfName } from '../../core/colour/colour-family.ts';
import { colourName } from '../../core/colour/colour-name.ts';
import type { RecordOf } from '../../domain/records/record.ts';
import { type Book, openBook } from '../book.ts';
import { changeBook } from '../change-book.ts';
import { type ClayWork, doClayWork } from '../clay-work.ts';
import { clayJobs } from '../jobs/clay-jobs.ts';
import type { MixQuestion } from '../list-service.ts';
import { nearestInBook, searchBook } from '../search-book.ts';
import { mixList } from './mix-list.ts';
import { coloursOf } from './samples.ts';

const LABS = {
  sun: [84, 4, 78],
  lagoon: [38, -12, -34],
  foam: [95, 0, 2],
} as const;

let asked: ClayWork[];
const elsewhere = (work: ClayWork) => {
  asked.push(work);
  return doClayWork(work, {
    nowMs: () => 0,
    progress: () => {},
    breathe: async () => {},
    madeWith: 'a test',
  });
};
const open = (ports = { store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() }) =>
  openBook(ports, elsewhere);
const rows = async (book: Book, question: Partial<MixQuestion> = {}) =>
  (await mixList(book, { from: 0, limit: 100, sort: 'name', descending: false, ...question })).rows;
const ids = async (book: Book, question: Partial<MixQuestion>) =>
  (await rows(book, question)).map(({ id }) => id);
const labOf = async (book: Book, id: string) =>
  (await rows(book)).find((row) => row.id === id)?.lab;

let book: Book;
beforeEach(async () => {
  asked = [];
  book = open();
  await changeBook(book, {
    what: 'Began',
    steps: [
      line('saltmarsh'),
      ...Object.entries(LABS).flatMap(([id, values]) => [
        block(id, 'saltmarsh'),
        put('reading', `of-${id}`, {
          of: { kind: 'block', id },
          readingKind: 'measured',
          state: 'baked',
          lab: { values: [...values], light: 'D50', observer: 2 },
          spread: 0.5,
          geometry: 'excluded',
        }),
      ]),
      block('unread', 'saltmarsh'),
      mix('weed', [
        ['block', 'sun', 3],
        ['block', 'lagoon', 1],
      ]),
      mix('pale', [
        ['mix', 'weed', 2],
        ['block', 'foam', 1],
      ]),
      // Predicted by clays of another day.
      mix(
        'stale',
        [
          ['block', 'sun', 2],
          ['block', 'lagoon', 1],
        ],
        { predicted: { lab: [45, 60, 30], plusMinus: 3 } },
      ),
      // Its tile came out otherwise than any clay model would have it.
      mix('read', [
        ['block', 'sun', 3],
        ['block', 'lagoon', 1],
      ]),
      tile('t', 'read'),
      reading('r', 't', [45, 60, 30]),
      mix('nobody-knows', [['block', 'unread', 1]]),
      mix('once', [['block', 'unread', 1]], { predicted: { lab: [45, 60, 30], plusMinus: 3 } }),
    ],
  });
});

describe('colours of mixes that were never read', () => {
  it('are what filters, words and nearness go by, of mixes of mixes too', async () => {
    expect(await ids(book, { colour: 'green' })).toEqual(['pale', 'stale', 'weed']);
    expect(await ids(book, { text: 'green' })).toEqual(['pale', 'stale', 'weed']);
    expect(await ids(book, { colour: 'red' })).toEqual(['once', 'read']);
    const lab = (await labOf(book, 'pale'))!;
    const near = await nearestInBook(book, { lab, kinds: ['mix'], top: 1 });
    expect(near[0]).toMatchObject({ id: 'pale', source: 'pale', predicted: true });
    expect((await ids(book, { near: { lab, within: 10 }, sort: 'near' }))[0]).toBe('pale');
    const { records } = await searchBook(book, { text: 'green', limit: 9, offset: 0 });
    expect(records.map(({ id }) => id)).toContain('pale');
  });

  it('fit the family every mix is drawn in, whatever the family', async () => {
    const drawn = (await rows(book)).filter(({ lab }) => lab !== undefined);
    expect(drawn.map(({ id }) => id)).toEqual(['once', 'pale', 'read', 'stale', 'weed']);
    for (const colour of COLOUR_FAMILIES) {
      const same = drawn.filter(({ lab }) => familyOfName(colourName(lab!).name) === colour);
      expect(await ids(book, { colour })).toEqual(same.map(({ id }) => id));
    }
  });

  it('follow a changed mix and all that is made of it', async () => {
    const before = await labOf(book, 'pale');
    await changeBook(book, { what: 'Paler', steps: [mix('weed', [['block', 'foam', 1]], {}, 1)] });
    expect(await ids(book, { colour: 'green' })).toEqual(['stale']);
    expect((await labOf(book, 'pale'))![0]).toBeGreaterThan(before![0] + 5);
    await changeBook(book, { what: 'No tile', steps: [{ do: 'delete', id: 'r', version: 1 }] });
    expect(await ids(book, { colour: 'green' })).toEqual(['read', 'stale']);
  });

  it('are said to be on their way where they take longer than an answer waits', async () => {
    let end = () => {};
    const held = new Promise<void>((resolve) => {
      end = resolve;
    });
    const { ports } = book;
    const slow = openBook(ports, async (work) => {
      await held;
      return elsewhere(work);
    });
    await slow.index.ready;
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const first = coloursOf(slow, ['weed', 'read']);
    await vi.waitFor(() => expect(vi.getTimerCount()).toBe(1));
    vi.runAllTimers();
    vi.useRealTimers();
    expect(await first).toMatchObject({ computing: true, predicted: [] });
    end();
    const then = await coloursOf(slow, ['weed', 'read']);
    expect(then).toMatchObject({ computing: false, predicted: [{ id: 'weed', when: 'now' }] });
    expect((await coloursOf(slow, ['read'])).computing).toBe(false);
  });

  it('are worked out again by a new clay model, and only then', async () => {
    const rough = await labOf(book, 'weed');
    const { colours, predicted } = await coloursOf(book, ['weed', 'read']);
    expect(colours.map(({ id }) => id)).toEqual(['read']);
    expect(predicted.map(({ id }) => id)).toEqual(['weed']);
    const times = () => asked.filter(({ verb }) => verb === 'colours').length;
    const before = times();
    await rows(book, { colour: 'green' });
    expect(times()).toBe(before);
    const tools = {
      signal: new AbortController().signal,
      progress: () => {},
      fallsShort: () => {},
      by: undefined,
      jobId: 'a job',
    };
    await clayJobs(book, elsewhere).learn({ do: 'learn', name: 'Clays' } as never, tools);
    const learned = await labOf(book, 'weed');
    expect(times()).toBe(before + 1);
    expect(learned).not.toEqual(rough);
    const record = (await book.ports.store.get('weed')) as RecordOf<'mix'>;
    expect([record.version, record.body.predicted]).toEqual([1, undefined]);
    // Another run of the program predicts the same colours again from the same clay model.
    expect(await labOf(open(book.ports as never), 'weed')).toEqual(learned);
  });
});
