import { describe, expect, it } from 'vitest';
import { bookRecordSchema } from './records/record.ts';
import { upgradedPath, upgradeRecord } from './upgrade-record.ts';

const envelope = {
  id: 'a',
  version: 1,
  createdAt: '2026-01-01T00:00:00.000Z',
  changedAt: '2026-01-01T00:00:00.000Z',
};
const of = { kind: 'block', id: 'kelp' };
const units = { length: 'mm', mass: 'g', temp: 'C', volume: 'ml' };
const lab = { values: [50, 0, 0], light: 'D50', observer: 2 };
const sha256 = 'a'.repeat(64);

/** Every name version 1 had otherwise, as that version wrote it. */
const VERSION_1: readonly [string, object, object][] = [
  ['line', { name: 'Saltmarsh', sort: 'soft', status: 'current' }, { clayType: 'soft' }],
  [
    'block',
    { lineId: 'l', name: 'Kelp', sort: 'pearl', status: 'current', labelIds: ['x'] },
    { clayType: 'pearl', collectionIds: ['x'] },
  ],
  ['powder', { name: 'Mica', sort: 'mica', status: 'current' }, { powderType: 'mica' }],
  [
    'lot',
    { of, mark: 'L 12', reformulated: false, containerId: 'c' },
    { lotNumber: 'L 12', boxId: 'c' },
  ],
  [
    'movement',
    { of, on: '2026-01-01', why: 'bought', changeG: 5, lotId: 'l' },
    { purchaseId: 'l' },
  ],
  ['container', { lid: 'A', holds: [{ of }] }, { lid: 'A' }],
  [
    'tile',
    { of, basis: 'volume', state: 'raw', bakes: [], lotIds: ['l'], containerId: 'c' },
    { purchaseIds: ['l'], boxId: 'c' },
  ],
  [
    'reading',
    {
      of: { kind: 'tile', id: 't' },
      got: 'by eye',
      state: 'raw',
      lab,
      spread: 1,
      geometry: 'excluded',
      overruled: { note: 'greener' },
    },
    { readingKind: 'by eye', override: { note: 'greener' } },
  ],
  [
    'mix',
    {
      name: 'trial',
      parts: [{ of, parts: 1 }],
      basis: 'volume',
      status: 'trial',
      tags: ['kept'],
      foretold: { lab: [50, 0, 0], plusMinus: 1 },
    },
    {
      name: 'trial',
      status: 'test',
      tags: ['kept'],
      predicted: { lab: [50, 0, 0], plusMinus: 1 },
    },
  ],
  [
    'clay-model',
    {
      name: 'm',
      learntOn: '2026-01-01',
      basis: 'volume',
      parents: [{ name: 'Kelp' }],
      learntFrom: [],
      sha256,
      bytes: 1,
    },
    { learnedOn: '2026-01-01', clays: [{ name: 'Kelp' }], learnedFrom: [] },
  ],
  [
    'note',
    { of: { kind: 'lot', id: 'l' }, feels: [], done: [] },
    { of: { kind: 'purchase', id: 'l' } },
  ],
  [
    'figure',
    {
      name: 'Crab',
      batches: [{ of, lotIds: ['l'], spare: { state: 'raw', containerId: 'c' } }],
      bakes: [],
    },
    { batches: [{ of, purchaseIds: ['l'], spare: { state: 'raw', boxId: 'c' } }] },
  ],
  ['label', { name: 'for the fair' }, { name: 'for the fair' }],
  [
    'settings',
    { units, signs: [{ sign: 'K', of }], stamps: [{ sign: 'A' }] },
    { shortNames: [{ shortName: 'K', of }], stamps: [{ sign: 'A' }] },
  ],
];

describe('a record of version 1', () => {
  it.each(VERSION_1)('of the kind %s has the names of today', (kind, body, today) => {
    const was = { ...envelope, kind, body, binnedAt: '2026-01-02T00:00:00.000Z' };
    const is = upgradeRecord(was);
    const read = bookRecordSchema.parse(is);
    expect(read).toEqual(is);
    expect(read.body).toMatchObject(today);
    expect(read.deletedAt).toBe('2026-01-02T00:00:00.000Z');
    expect(upgradeRecord(is)).toEqual(is);
  });

  it('that is none comes back as it was sent, for the schema to refuse', () => {
    for (const sent of [
      undefined,
      null,
      'lot',
      ['lot'],
      { kind: 1 },
      { kind: 'lot', body: null },
    ]) {
      expect(bookRecordSchema.safeParse(upgradeRecord(sent)).success).toBe(false);
    }
    expect(upgradeRecord({ kind: 'toString', body: { constructor: 1 } })).toEqual({
      kind: 'toString',
      body: { constructor: 1 },
    });
  });

  it('in a table has its headings by the names of today', () => {
    expect(upgradedPath('mix', 'foretold.clayModelId')).toBe('predicted.clayModelId');
    expect(upgradedPath('lot', 'binnedAt')).toBe('deletedAt');
    expect(upgradedPath('movement', 'lotId')).toBe('purchaseId');
    expect(upgradedPath('tile', 'sort')).toBe('sort');
  });
});
