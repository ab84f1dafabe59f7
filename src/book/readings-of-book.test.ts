import { describe, expect, it } from 'vitest';
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
import { readingSchema } from '../domain/reading.ts';
import { openBook } from './book.ts';
import { changeBook } from './change-book.ts';
import { readingsOfBook } from './readings-of-book.ts';

async function bookOf(...steps: Parameters<typeof changeBook>[1]['steps'][number][]) {
  const book = openBook({ store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() });
  const basics = [
    line('salt', 'Saltmarsh'),
    line('brin', 'Brindle'),
    block('kelp', 'salt'),
    block('foam', 'salt'),
  ];
  await changeBook(book, { what: 'Began', steps: [...basics, ...steps] });
  return book;
}

describe('readings of a book', () => {
  it('resolve mixes of mixes to blocks in whole parts, and pass the schema of readings', async () => {
    const book = await bookOf(
      // 3 (2 kelp + 1 foam) + 1 foam: 2/3 of 3/4 is 1/2 kelp, so one to one.
      mix('in', [
        ['block', 'kelp', 2],
        ['block', 'foam', 1],
      ]),
      mix('out', [
        ['mix', 'in', 3],
        ['block', 'foam', 1],
      ]),
      tile('t', 'out', { code: 'T1', thicknessMm: 3, backing: 0.8, partsSpread: 0.1 }),
      reading('r', 't', [50, 1, 2]),
    );
    const { readings, leftAside } = await readingsOfBook(book);
    expect(leftAside).toEqual([]);
    expect(readings).toHaveLength(1);
    const [{ recordId, reading: read }] = readings;
    expect(recordId).toBe('r');
    expect(readingSchema.parse(read)).toEqual(read);
    expect(read).toEqual({
      tile: 'T1',
      of: [
        { clay: 'kelp', parts: 1 },
        { clay: 'foam', parts: 1 },
      ],
      kind: 'measured',
      basis: 'volume',
      state: 'baked',
      lab: { values: [50, 1, 2], light: 'D50', observer: 2 },
      spread: 0.5,
      geometry: 'excluded',
      thicknessMm: 3,
      backing: 0.8,
      partsSpread: 0.1,
      place: { file: 'record r', line: 1 },
    });
  });

  it('tell two blocks of one name apart by their line', async () => {
    const of = (id: string) =>
      put('reading', `r-${id}`, {
        of: { kind: 'block', id },
        readingKind: 'rough',
        state: 'baked',
        lab: { values: [50, 0, 0], light: 'D65', observer: 10 },
        spread: 5,
        geometry: 'excluded',
        source: 'tray',
      });
    const book = await bookOf(
      block('twin', 'brin', { name: 'Kelp' }),
      of('twin'),
      of('kelp'),
      of('foam'),
    );
    const { readings, blocks } = await readingsOfBook(book);
    expect(readings.map(({ recordId, reading: r }) => [recordId, r.of[0].clay, r.photo])).toEqual([
      ['r-foam', 'foam', 'tray'],
      ['r-kelp', 'Saltmarsh kelp', 'tray'],
      ['r-twin', 'Brindle Kelp', 'tray'],
    ]);
    expect(blocks.get('Brindle Kelp')).toBe('twin');
  });

  it('of a tile with parts of its own, and of one her eye override', async () => {
    const book = await bookOf(
      put('tile', 't', {
        of: {
          parts: [
            { of: { kind: 'block', id: 'kelp' }, parts: 3 },
            { of: { kind: 'block', id: 'foam' }, parts: 1 },
          ],
        },
        basis: 'weight',
        state: 'baked',
        bakes: [],
      }),
      put('reading', 'r', {
        of: { kind: 'tile', id: 't' },
        readingKind: 'measured',
        state: 'baked',
        lab: { values: [50, 0, 0], light: 'D65', observer: 10 },
        spread: 0.5,
        geometry: 'included',
        override: { lab: [52, 0, 0], note: 'Lighter by the window.' },
        place: { file: 'old.csv', line: 4 },
      }),
    );
    const { readings } = await readingsOfBook(book);
    expect(readings[0].reading).toMatchObject({
      kind: 'by eye',
      basis: 'weight',
      of: [
        { clay: 'kelp', parts: 3 },
        { clay: 'foam', parts: 1 },
      ],
      lab: { values: [52, 0, 0], light: 'D50', observer: 2 },
      place: { file: 'old.csv', line: 4 },
    });
  });
});
