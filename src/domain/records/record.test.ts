import { describe, expect, it } from 'vitest';
import { BOOK_BODIES, bookRecordSchema } from './record.ts';

const mix = {
  name: 'Sea moss',
  basis: 'volume',
  status: 'saved',
  parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 5 }],
};
const line = { name: 'Saltmarsh', status: 'current' };
const reading = {
  of: { kind: 'block', id: 'kelp' },
  readingKind: 'rough',
  state: 'raw',
  lab: { values: [50, 0, 0], light: 'D50', observer: 2 },
  spread: 4,
  geometry: 'excluded',
};

const fits = (kind: keyof typeof BOOK_BODIES, body: unknown) =>
  BOOK_BODIES[kind].safeParse(body).success;

describe('records of a book', () => {
  it('are kept with names in composed letters and without outer white space', () => {
    expect(BOOK_BODIES.line.parse({ ...line, name: '  Cafe\u0301 ' })).toMatchObject({
      name: 'Caf\u00e9',
    });
  });

  it.each([
    ['an unknown field', 'mix', { ...mix, colour: 'green' }],
    ['neither code nor name', 'mix', { ...mix, name: undefined }],
    ['no parts', 'mix', { ...mix, parts: [] }],
    [
      'parts of nothing',
      'mix',
      { ...mix, parts: [{ of: { kind: 'block', id: 'kelp' }, parts: 0 }] },
    ],
    ['parts of a tile', 'mix', { ...mix, parts: [{ of: { kind: 'tile', id: 'kelp' }, parts: 1 }] }],
    ['parts without end', 'mix', { ...mix, parts: Array(101).fill(mix.parts[0]) }],
    ['powders that leave no clay', 'mix', { ...mix, powders: [{ powderId: 'p', share: 1 }] }],
    ['a name without end', 'line', { ...line, name: 'x'.repeat(201) }],
    ['a name of control characters', 'line', { ...line, name: 'a\u0000b' }],
    ['an empty name', 'line', { ...line, name: '   ' }],
    ['a bake range turned round', 'line', { ...line, bakeLowC: 135, bakeHighC: 110 }],
    [
      'a range above what is never exceeded',
      'line',
      { ...line, bakeHighC: 150, neverExceedC: 140 },
    ],
    ['a temperature that is no number', 'line', { ...line, bakeLowC: Number.NaN }],
    ['a reading without a colour', 'reading', { ...reading, lab: undefined }],
    [
      'a lightness past white',
      'reading',
      { ...reading, lab: { ...reading.lab, values: [140, 0, 0] } },
    ],
    [
      'a region without a photo',
      'reading',
      { ...reading, region: { left: 0, top: 0, width: 1, height: 1 } },
    ],
    [
      'a region past the edge',
      'reading',
      { ...reading, photoId: 'p', region: { left: 0.5, top: 0, width: 0.6, height: 1 } },
    ],
    [
      'a movement without an amount',
      'stock-entry',
      { of: { kind: 'block', id: 'b' }, on: '2026-01-01', why: 'used' },
    ],
    [
      'grams and millilitres at once',
      'stock-entry',
      { of: { kind: 'block', id: 'b' }, on: '2026-01-01', why: 'used', changeG: 1, changeMl: 1 },
    ],
    [
      'a day that is none',
      'stock-entry',
      { of: { kind: 'block', id: 'b' }, on: '2026-02-30', why: 'used', changeG: 1 },
    ],
    [
      'money in half cents',
      'powder',
      { name: 'Mica', sort: 'mica', status: 'current', price: { minor: 1.5, currency: 'EUR' } },
    ],
    [
      'a currency that is none',
      'powder',
      { name: 'Mica', sort: 'mica', status: 'current', price: { minor: 1, currency: 'euro' } },
    ],
    [
      'an id that climbs folders',
      'block',
      { lineId: '../x', name: 'Kelp', clayType: 'opaque', status: 'current' },
    ],
  ] as const)('refuse %s', (_, kind, body) => {
    expect(fits(kind, JSON.parse(JSON.stringify(body)))).toBe(false);
  });

  it('take what those rows break, put right', () => {
    expect(fits('mix', { ...mix, powders: [{ powderId: 'p', share: 0.05 }] })).toBe(true);
    expect(fits('line', { ...line, bakeLowC: 110, bakeHighC: 130, neverExceedC: 150 })).toBe(true);
    expect(
      fits('reading', {
        ...reading,
        photoId: 'p',
        region: { left: 0.5, top: 0, width: 0.5, height: 1 },
      }),
    ).toBe(true);
    expect(
      fits('stock-entry', {
        of: { kind: 'block', id: 'b' },
        on: '2026-02-28',
        why: 'counted',
        foundG: 0,
      }),
    ).toBe(true);
    expect(
      fits('powder', {
        name: 'Mica',
        powderType: 'mica',
        status: 'current',
        price: { minor: 1, currency: 'EUR' },
      }),
    ).toBe(true);
    const record = {
      kind: 'mix',
      id: 'm',
      version: 1,
      createdAt: '2026-01-01T00:00:00.000Z',
      changedAt: '2026-01-01T00:00:00.000Z',
      body: mix,
    };
    expect(bookRecordSchema.safeParse(record).success).toBe(true);
    expect(bookRecordSchema.safeParse({ ...record, kind: 'line' }).success).toBe(false);
    expect(bookRecordSchema.safeParse({ ...record, version: 0 }).success).toBe(false);
  });
});
