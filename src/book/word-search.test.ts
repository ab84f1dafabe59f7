import { expect, it } from 'vitest';
import {
  block,
  filesInMemory,
  line,
  mix,
  put,
  reading,
  steadyWorld,
  tile,
} from '../../test/conformance/book-maker.ts';
import { memoryBookStore } from '../../test/conformance/memory-book-store.ts';
import { openBook } from './book.ts';
import { changeBook } from './change-book.ts';
import { searchBook } from './search-book.ts';

async function begun() {
  const book = openBook({ store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() });
  await changeBook(book, {
    what: 'Began',
    steps: [
      line('l', 'Saltmarsh'),
      block('kelp', 'l'),
      block('sand', 'l'),
      mix('moss', [['block', 'kelp', 1]]),
      mix('deep', [['mix', 'moss', 1]]),
      put('box', 'drawer', { lid: 'Top drawer', place: 'by the window', holds: [] }),
      put('box', 'tin', {
        lid: 'Blue tin',
        insideOf: 'drawer',
        holds: [{ of: { kind: 'block', id: 'sand' } }],
      } as never),
      tile('in-tin', 'moss', { boxId: 'tin' }),
      tile('loose', 'moss'),
      reading('r', 'loose', [65, -35, -12]),
    ],
  });
  const found = async (text: string) =>
    (
      await searchBook(book, { text, kinds: ['mix', 'tile', 'block'], limit: 20, offset: 0 })
    ).records
      .map(({ id }) => id)
      .sort();
  return { book, found };
}

it('finds by the name of a box what is in the box, and in boxes inside it', async () => {
  const { book, found } = await begun();
  for (const words of ['tin', 'blue tin', 'drawer', 'window']) {
    expect(await found(words)).toEqual(['in-tin', 'moss', 'sand']);
  }
  await changeBook(book, { what: 'Out', steps: [{ do: 'delete', id: 'in-tin', version: 1 }] });
  expect(await found('drawer')).toEqual(['sand']);
});

it('finds by everyday words for colours, and by the best reading alone', async () => {
  const { book, found } = await begun();
  for (const word of ['turquoise', 'turq', 'green', 'bluish']) {
    expect(await found(word)).toEqual(['loose', 'moss']);
  }
  expect(await found('maroon')).toEqual([]);
  const raw = { readingKind: 'measured', state: 'raw', spread: 1, geometry: 'excluded' } as const;
  await changeBook(book, {
    what: 'Raw',
    steps: [
      put('reading', 'raw', {
        ...raw,
        of: { kind: 'mix', id: 'moss' },
        lab: { values: [22, 34, 14], light: 'D50', observer: 2 },
      }),
    ],
  });
  expect(await found('maroon')).toEqual([]);
  await changeBook(book, { what: 'No', steps: [{ do: 'delete', id: 'r', version: 1 }] });
  expect(await found('maroon')).toEqual(['moss']);
  expect(await found('turquoise')).toEqual([]);
});

it('finds by the name of a line its blocks and what is made of them', async () => {
  const { found } = await begun();
  expect(await found('saltmarsh')).toEqual(['kelp', 'moss', 'sand']);
});
