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
import { sharesOf } from '../core/notation/notation.ts';
import { readingSchema } from '../domain/records/reading.ts';
import type { RecordOf } from '../domain/records/record.ts';
import { tilesFromReadings } from '../verbs/tiles-from-readings.ts';
import { openBook } from './book.ts';
import { changeBook } from './change-book.ts';
import { importRecords } from './import-records.ts';
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
      translucent: false,
      partsSpread: 0.1,
      place: { file: 'record r', line: 1 },
    });
  });

  it('leave out tiles with powders in them, whose effect a fit does not know', async () => {
    const dense = (id: string, name: string, densityGPerCm3: number) =>
      put('line', id, { name, status: 'current', densityGPerCm3 });
    const book = await bookOf(
      dense('heavy', 'Lantern', 1.9),
      dense('light', 'Tidemark', 1.3),
      block('iron', 'heavy'),
      block('weed', 'light'),
      block('sand', 'light', { densityGPerCm3: 2 }),
      put('powder', 'shimmer', { name: 'Shimmer', powderType: 'mica', status: 'current' }),
      mix(
        'in',
        [
          ['block', 'iron', 1],
          ['block', 'weed', 1],
        ],
        { basis: 'weight', powders: [{ powderId: 'shimmer', share: 0.02 }] },
      ),
      mix('out', [
        ['mix', 'in', 1],
        ['block', 'sand', 1],
      ]),
      tile('t', 'out', { code: 'T1' }),
      reading('r', 't', [50, 1, 2]),
    );
    const { readings, leftAside } = await readingsOfBook(book);
    expect(readings).toEqual([]);
    expect(leftAside).toEqual([
      {
        recordId: 'r',
        why: 'Powders are in this tile, and their effect on a colour is not learned.',
      },
    ]);
  });

  it('resolve a mix by weight inside a mix by volume with the densities of the lines', async () => {
    const dense = (id: string, name: string, densityGPerCm3: number) =>
      put('line', id, { name, status: 'current', densityGPerCm3 });
    const book = await bookOf(
      dense('heavy', 'Lantern', 1.9),
      dense('light', 'Tidemark', 1.3),
      block('iron', 'heavy'),
      block('weed', 'light'),
      block('sand', 'light', { densityGPerCm3: 2 }),
      mix(
        'in',
        [
          ['block', 'iron', 1],
          ['block', 'weed', 1],
        ],
        { basis: 'weight' },
      ),
      mix('out', [
        ['mix', 'in', 1],
        ['block', 'sand', 1],
      ]),
      tile('t', 'out', { code: 'T1' }),
      reading('r', 't', [50, 1, 2]),
    );
    const { readings } = await readingsOfBook(book);
    const shares = new Map(readings[0].reading.of.map(({ clay, parts }) => [clay, parts]));
    // Equal weights take 1/1.9 and 1/1.3 of room; the half by volume is shared so.
    expect(shares.get('iron')).toBeCloseTo((0.5 * 1.3) / 3.2, 12);
    expect(shares.get('weed')).toBeCloseTo((0.5 * 1.9) / 3.2, 12);
    expect(shares.get('sand')).toBeCloseTo(0.5, 12);
  });

  it('count parts one way where tiles count them two ways, through the densities', async () => {
    const book = await bookOf(
      put('line', 'heavy', { name: 'Lantern', status: 'current', densityGPerCm3: 2 }),
      block('iron', 'heavy'),
      mix('v', [
        ['block', 'iron', 1],
        ['block', 'foam', 1],
      ]),
      mix(
        'w',
        [
          ['block', 'iron', 1],
          ['block', 'foam', 1],
        ],
        { basis: 'weight' },
      ),
      tile('tv', 'v', { code: 'V1' }),
      tile('tw', 'w', { code: 'W1', basis: 'weight' }),
      reading('rv', 'tv', [50, 1, 2]),
      reading('rw', 'tw', [52, 1, 2]),
    );
    for (const [basis, iron] of [
      ['volume', { V1: 1 / 2, W1: 1.4 / 3.4 }],
      ['weight', { V1: 2 / 3.4, W1: 1 / 2 }],
    ] as const) {
      const { readings, notes } = await readingsOfBook(book, basis);
      expect(notes).toEqual([
        `Some tiles count parts by volume, some by weight. All are learned by ${basis}, through the densities of their clays. No density is saved for foam: 1.4 g per cm3 was taken.`,
      ]);
      for (const { reading: read } of readings) {
        expect(read.basis).toBe(basis);
        const share = sharesOf(read.of).find(({ clay }) => clay === 'iron')?.share;
        expect(share).toBeCloseTo(iron[read.tile as 'V1' | 'W1'], 12);
      }
      expect(() =>
        tilesFromReadings(
          readings.map(({ reading: read }) => read),
          'volume',
        ),
      ).not.toThrow();
    }
    // A record of one way alone is left as it is, whatever is asked.
    const byWeight = await bookOf(
      mix(
        'w',
        [
          ['block', 'kelp', 1],
          ['block', 'foam', 1],
        ],
        { basis: 'weight' },
      ),
      tile('tw', 'w', { code: 'W1', basis: 'weight' }),
      reading('rw', 'tw', [52, 1, 2]),
    );
    const { readings, notes } = await readingsOfBook(byWeight, 'volume');
    expect([readings[0].reading.basis, notes]).toEqual(['weight', []]);
  });

  it('tell two blocks of one name and line apart by code and by number', async () => {
    const of = (id: string) =>
      put('reading', `r-${id}`, {
        of: { kind: 'block', id },
        readingKind: 'rough',
        state: 'baked',
        lab: { values: [50, 0, 0], light: 'D65', observer: 10 },
        spread: 5,
        geometry: 'excluded',
      });
    const book = openBook({ store: memoryBookStore(), files: filesInMemory(), ...steadyWorld() });
    const called = (id: string, more: object = {}) => {
      const body = { lineId: 'peb', name: 'Pebble Yellow', clayType: 'opaque', status: 'current' };
      const at = '2026-01-01T00:00:00.000Z';
      const envelope = { version: 1, createdAt: at, changedAt: at } as const;
      return { kind: 'block', id, ...envelope, body: { ...body, ...more } } as RecordOf<'block'>;
    };
    await changeBook(book, { what: 'Began', steps: [line('peb', 'Pebble')] });
    const records = [called('a'), called('b', { code: 'Y2' }), called('c')];
    await importRecords(book, { records, files: [], what: 'Imported' });
    await changeBook(book, { what: 'Read', steps: [of('a'), of('b'), of('c')] });
    const { blocks } = await readingsOfBook(book);
    expect([...blocks].sort()).toEqual([
      ['Pebble Yellow (code Y2)', 'b'],
      ['Pebble Yellow (number 1)', 'a'],
      ['Pebble Yellow (number 3)', 'c'],
    ]);
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

  it('of a tile with parts of its own, and of one with an override by eye', async () => {
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
