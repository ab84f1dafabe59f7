/**
 * A book of 100,000 mixes: how long it takes to open, search, list and change, beside a book of 1,000.
 * node --expose-gc --import tsx bench/book.ts [mixes]
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openBook } from '../src/book/book.ts';
import { changeBook } from '../src/book/change-book.ts';
import { checkBook } from '../src/book/check-book.ts';
import { listBook } from '../src/book/list-book.ts';
import type { MixQuestion } from '../src/book/list-service.ts';
import { mixList } from '../src/book/lists/mix-list.ts';
import { nearestInBook, searchBook } from '../src/book/search-book.ts';
import type { BookStep } from '../src/domain/records/change.ts';
import { openBookFolder } from '../src/store/book-folder.ts';
import { mix, put } from '../test/conformance/book-maker.ts';
import { bookChance, fillBook, weighBlocks } from './large-book.ts';

const { chance, upTo, word } = bookChance(11);

for (const mixes of [1000, Number(process.argv[2] ?? 100_000)]) await measure(mixes);

async function measure(mixes: number): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'kneadwell-bench-'));
  try {
    const madeMs = await fillBook(folder, mixes);

    const openedAt = performance.now();
    const folderOpen = await openBookFolder(folder);
    const openMs = performance.now() - openedAt;
    const opened = openBook(folderOpen.ports);
    const rows = (question: Partial<MixQuestion> = {}) =>
      mixList(opened, { from: 0, limit: 100, sort: 'changed', descending: true, ...question });
    await rows();
    const firstMs = performance.now() - openedAt;
    await opened.index.ready;
    const indexMs = performance.now() - openedAt;
    const say = (what: string, ms: number) =>
      console.log(`  ${what.padEnd(46)} ${ms.toFixed(1)} ms`);
    console.log(
      `${mixes} mixes, ${3 * mixes + 51} records, ${(statSync(join(folder, 'book.sqlite')).size / 1e6).toFixed(0)} MB`,
    );
    say('made, a mix with its tile and reading', madeMs / mixes);
    say('opened', openMs);
    say('first list, from opening', firstMs);
    say('index ready, from opening', indexMs);
    const lists: [string, Partial<MixQuestion>][] = [
      ['first list by name', { sort: 'name' }],
      ['first filter by colour', { colour: 'green' }],
      ['first filter by words', { text: word() }],
      ['first filter by stock, with the recipes read', { stockG: 10 }],
      ['second filter by stock', { stockG: 20 }],
    ];
    await weighBlocks(opened);
    for (const [what, question] of lists) {
      const at = performance.now();
      const { total } = await rows(question);
      say(`${what}, ${total} mixes`, performance.now() - at);
    }
    globalThis.gc?.();
    const { heapUsed, rss } = process.memoryUsage();
    console.log(
      `  memory ${(heapUsed / 1e6).toFixed(0)} MB used, ${(rss / 1e6).toFixed(0)} MB held`,
    );
    const page = { kind: 'mix' as const, limit: 50 };
    const asks: [string, () => Promise<unknown>][] = [
      ['search one common word', () => searchBook(opened, { text: word(), limit: 50, offset: 0 })],
      [
        'search two words of mixes',
        () =>
          searchBook(opened, { text: `${word()} ${word()}`, kinds: ['mix'], limit: 50, offset: 0 }),
      ],
      [
        'search a code',
        () => searchBook(opened, { text: `k${upTo(mixes)}`, kinds: ['mix'], limit: 50, offset: 0 }),
      ],
      [
        'search a word that is in no mix',
        () => searchBook(opened, { text: 'zebra', limit: 50, offset: 0 }),
      ],
      [
        'nearest 20 colours',
        () =>
          nearestInBook(opened, {
            lab: [20 + 70 * chance(), 80 * chance() - 40, 80 * chance() - 40],
            kinds: ['mix'],
            top: 20,
          }),
      ],
      ['first page by name', () => listBook(opened, { ...page, sort: 'name' })],
      [
        'first page by newest, one tag',
        () => listBook(opened, { ...page, sort: 'changed', descending: true, tag: word() }),
      ],
      [
        'page of what uses a block',
        () => listBook(opened, { ...page, sort: 'code', uses: { id: `b${upTo(48)}` } }),
      ],
      ['one record', () => folderOpen.ports.store.get(`m${upTo(mixes)}`)],
      [
        'save a mix, on the disk',
        () =>
          changeBook(opened, {
            what: 'Kept',
            steps: [{ ...mix('x', [['block', 'b1', 1]]), id: `x${upTo(1e9)}` } as BookStep],
          }),
      ],
      ['rename a line, on the disk', () => rename()],
      ['search right after', () => searchBook(opened, { text: word(), limit: 50, offset: 0 })],
    ];
    let version = 1;
    const rename = () =>
      changeBook(opened, {
        what: 'x',
        steps: [put('line', 'l0', { name: word(), status: 'current' }, version++)],
      });
    for (const [what, ask] of asks) {
      await ask();
      const times: number[] = [];
      for (let i = 0; i < 21; i++) {
        const at = performance.now();
        await ask();
        times.push(performance.now() - at);
      }
      times.sort((a, b) => a - b);
      console.log(
        `  ${what.padEnd(46)} median ${times[10].toFixed(2)}, worst ${times[20].toFixed(2)} ms`,
      );
    }
    const checkedAt = performance.now();
    const { troubles } = await checkBook(opened);
    say(`checked the whole book (${troubles.length} troubles)`, performance.now() - checkedAt);
    await folderOpen.close();
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
