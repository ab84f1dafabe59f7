import { type Book, openBook } from '../src/book/book.ts';
import { changeBook } from '../src/book/change-book.ts';
import { seededChance } from '../src/core/numeric/seeded-chance.ts';
import type { BookStep } from '../src/domain/records/change.ts';
import { openBookFolder } from '../src/store/book-folder.ts';
import { block, line, mix, put, reading, tile } from '../test/conformance/book-maker.ts';

const WORDS =
  'moss foam kelp sand shell urchin limpet coral eel weed tide pool rock starfish'.split(' ');

/** Draws for large books, the same every time. */
export function bookChance(seed: number) {
  const { uniform: chance } = seededChance(seed);
  const upTo = (n: number) => Math.floor(chance() * n);
  const word = () => WORDS[upTo(WORDS.length)];
  return { chance, upTo, word };
}

/** Three lines, 48 blocks, and so many mixes `m0`..., each with a tile and its reading. Returns ms. */
export async function fillBook(folder: string, mixes: number): Promise<number> {
  const { chance, upTo, word } = bookChance(7);
  const making = await openBookFolder(folder);
  const book = openBook(making.ports);
  const blocks = Array.from({ length: 48 }, (_, i) =>
    block(`b${i}`, `l${i % 3}`, { name: `${word()} ${i}` }),
  );
  const lines = ['Saltmarsh', 'Brindle', 'Lantern'].map((name, i) => line(`l${i}`, name));
  await changeBook(book, { what: 'Lines and blocks', steps: [...lines, ...blocks] });
  const started = performance.now();
  for (let from = 0; from < mixes; from += 1000) {
    const steps: BookStep[] = [];
    for (let i = from; i < Math.min(mixes, from + 1000); i++) {
      const parts = [0, 1].map(() => ['block', `b${upTo(48)}`, 1 + upTo(8)] as const);
      steps.push(
        mix(`m${i}`, parts, { code: `K${i}`, name: `${word()} ${word()} ${i}`, tags: [word()] }),
      );
      steps.push(tile(`t${i}`, `m${i}`, { code: `K${i}` }));
      steps.push(
        reading(`r${i}`, `t${i}`, [20 + 70 * chance(), 80 * chance() - 40, 80 * chance() - 40]),
      );
    }
    await changeBook(book, { what: `Mixes from ${from}`, steps });
  }
  const madeMs = performance.now() - started;
  await book.index.ready;
  await making.close();
  return madeMs;
}

/** Forty of the 48 blocks, the later the more. */
export async function weighBlocks(book: Book): Promise<void> {
  await changeBook(book, {
    what: 'Weighed',
    steps: Array.from({ length: 40 }, (_, i) =>
      put('stock-entry', `w${i}`, {
        of: { kind: 'block', id: `b${i}` },
        on: '2026-01-01',
        why: 'counted',
        foundG: 5 + 6 * i,
      }),
    ),
  });
}
