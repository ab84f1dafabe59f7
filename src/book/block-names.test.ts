import { describe, expect, it } from 'vitest';
import { block, filesInMemory, line, steadyWorld } from '../../test/conformance/book-maker.ts';
import { memoryBookStore } from '../../test/conformance/memory-book-store.ts';
import { openBook } from './book.ts';
import { changeBook } from './change-book.ts';

async function bookWithKelp() {
  const book = openBook({ store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() });
  const steps = [line('salt'), line('brin'), block('a', 'salt', { name: 'Kelp' })];
  await changeBook(book, { what: 'Began', steps });
  return book;
}

describe('two blocks of one name', () => {
  it('are refused in one line, however the name is spelt', async () => {
    const book = await bookWithKelp();
    const twin = block('b', 'salt', { name: ' kelp', code: 'K2' });
    await expect(changeBook(book, { what: 'Added', steps: [twin] })).rejects.toMatchObject({
      code: 'name-taken',
      kind: 'conflict',
      detail: 'The line salt already has a block named Kelp.',
    });
    const both = [block('c', 'brin', { name: 'Foam' }), block('d', 'brin', { name: 'foam' })];
    await expect(changeBook(book, { what: 'Added', steps: both })).rejects.toMatchObject({
      code: 'name-taken',
    });
  });

  it('are refused when one is renamed or moved, and left alone otherwise', async () => {
    const book = await bookWithKelp();
    await changeBook(book, { what: 'Added', steps: [block('b', 'brin', { name: 'Kelp' })] });
    const { kind, version, body } = (await book.ports.store.get('b'))!;
    if (kind !== 'block') throw new Error('not a block');
    const moved = { do: 'put', kind, id: 'b', version, body: { ...body, lineId: 'salt' } } as const;
    await expect(changeBook(book, { what: 'Moved', steps: [moved] })).rejects.toMatchObject({
      code: 'name-taken',
    });
    const coded = { ...moved, body: { ...body, code: 'K9' } };
    const { records } = await changeBook(book, { what: 'Coded', steps: [coded] });
    expect(records[0].body).toMatchObject({ code: 'K9' });
  });
});
