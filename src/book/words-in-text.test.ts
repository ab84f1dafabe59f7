import { beforeAll, expect, it } from 'vitest';
import { block, filesInMemory, line, mix, steadyWorld } from '../../test/conformance/book-maker.ts';
import { memoryBookStore } from '../../test/conformance/memory-book-store.ts';
import { readShorthandBlock } from '../core/notation/shorthand-block.ts';
import { type Book, openBook } from './book.ts';
import { bookServiceOf } from './book-service.ts';
import { changeBook } from './change-book.ts';
import { wordsFrom } from './import-notes.ts';
import { wordsInText } from './words-in-text.ts';

let book: Book;
beforeAll(async () => {
  book = openBook({ store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() });
  const named = (id: string, code?: string, name?: string) =>
    mix(id, [['block', 'kelp', 1]], {
      ...(code === undefined ? {} : { code }),
      ...(name === undefined ? {} : { name }),
    });
  await changeBook(book, {
    what: 'Mixes',
    steps: [
      line('salt'),
      block('kelp', 'salt'),
      named('k7', 'K7', 'Sea moss'),
      named('k71', 'K71', 'Moss'),
      named('k12', 'K 12', 'Grüne Welle'),
      named('john', undefined, "St. John's weed 2"),
      named('deleted', 'Q9', 'Gone'),
    ],
  });
  await changeBook(book, {
    what: 'DeletedRecords',
    steps: [{ do: 'delete', id: 'deleted', version: 1 }],
  });
});

const found = async (text: string) => (await wordsInText(book, text)).map(({ id }) => id).sort();

it('finds codes and names however they stand in a line', async () => {
  expect(await found('3K7 1 kelp')).toEqual(['k7']);
  expect(await found('new: 2 k7, 1K71')).toEqual(['k7', 'k71']);
  expect(await found('2 SEA  MOSS + 1 kelp')).toEqual(['k7', 'k71']);
  expect(await found('2 grune welle')).toEqual(['k12']);
  expect(await found("1 st john's weed 2")).toEqual(['john']);
  expect(await found('K 7 other: 1 kelp\nK12: 2 kelp')).toEqual(['k12', 'k7']);
  expect(await found('Q9 Gone seaweed mos K')).toEqual([]);
});

it('leaves a page read as with every word of the book', async () => {
  const page = [
    'K8 deep: 3K7 1 kelp',
    'K9: 2 "Sea moss" 1 Moss',
    'K7 again: 1 kelp',
    'A1: 4 K 12 + 1 kelp',
    'B2: 2 nothing 1 kelp',
    "C3: 1 St. John's weed 2, 5 kelp",
  ].join('\n');
  const { words } = await wordsFrom(bookServiceOf(book));
  const some = await wordsInText(book, page);
  const narrow = {
    shortNames: words.shortNames,
    names: [
      ...words.names!.filter(({ clay }) => clay === 'kelp'),
      ...some.flatMap(({ id, name }) => (name === undefined ? [] : [{ word: name, clay: id }])),
    ],
    codes: some.flatMap(({ id, code }) => (code === undefined ? [] : [{ word: code, clay: id }])),
  };
  const whole = readShorthandBlock(page, words);
  expect(readShorthandBlock(page, narrow)).toEqual(whole);
  expect(whole.mixes).toBeGreaterThan(2);
});
