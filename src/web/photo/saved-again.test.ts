import { describe, expect, it } from 'vitest';
import type { PhotoResult, TileResult } from '../../domain/photo-result.ts';
import { BOOK_BODIES, type RecordOf } from '../../domain/records/record.ts';
import {
  againSteps,
  changeInWords,
  pairReadings,
  type SavedReading,
  tapsOf,
} from './saved-again.ts';

const envelope = {
  version: 3,
  createdAt: '2026-01-01T00:00:00.000Z',
  changedAt: '2026-01-01T00:00:00.000Z',
};
const kept = (id: string, left: number, more: object = {}): SavedReading => ({
  kind: 'reading',
  id,
  ...envelope,
  body: {
    of: { kind: 'tile', id: `${id}-tile` },
    readingKind: 'measured',
    state: 'baked',
    lab: { values: [50, 10, 10], light: 'D50', observer: 2 },
    spread: 0.3,
    geometry: 'excluded',
    photoId: 'photo-1',
    region: { left, top: 0.4, width: 0.1, height: 0.2 },
    ...more,
  },
});
/** A square of 40 pixels round a place of a photo of 400 x 200. */
const seen = (name: string, x: number, y: number): TileResult => ({
  name,
  centre: [x, y],
  outline: [
    [x - 20, y - 20],
    [x + 20, y - 20],
    [x + 20, y + 20],
    [x - 20, y + 20],
  ],
  lab: [46, 10, 10],
  cov: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  spread: 0.5,
  quality: 'good',
  marks: [],
});
const size = { widthPx: 400, heightPx: 200 };
const photo: RecordOf<'photo'> = {
  kind: 'photo',
  id: 'photo-1',
  ...envelope,
  body: { sha256: '0'.repeat(64), bytes: 10, mediaType: 'image/jpeg', name: 'tray.jpg' },
};

describe('a kept photo read again', () => {
  it('knows each reading by where it was taken, and neither twice', () => {
    // Middles by hand: 0.1 + 0.05 of 400 is 60, 0.2 + 0.05 is 100; 0.4 + 0.1 of 200 is 100.
    const [one, two, lost] = [kept('one', 0.1), kept('two', 0.2), kept('lost', 0.8)];
    const [near, between, far] = [seen('a', 62, 98), seen('b', 81, 100), seen('c', 250, 100)];
    const pairs = pairReadings([one, two, lost], { ...size, tiles: [far, between, near] });
    expect([...pairs].map(([id, { name }]) => [id, name])).toEqual([
      ['one', 'a'],
      ['two', 'b'],
    ]);
    const [tap] = tapsOf([lost], size);
    expect(tap.name).toBe('tap 1');
    expect(tap.at.map(Math.round)).toEqual([340, 100]);
  });

  it('changes the readings as they were read, with the photo, and leaves colours judged by eye', () => {
    const override = { note: 'Paler.', lab: [52, 10, 10] as const };
    const one = kept('one', 0.1, { override, note: 'the first' });
    const photoResult = { ...size, rough: null, tiles: [] } as unknown as PhotoResult;
    const steps = againSteps(
      photo,
      { chart: 'before 2014', sheet: 'A4' },
      [[one, seen('a', 60, 100)]],
      photoResult,
      '2026-02-02T00:00:00.000Z',
    );
    expect(steps).toMatchObject([
      {
        id: 'one',
        version: 3,
        body: {
          of: one.body.of,
          note: 'the first',
          override,
          lab: { values: [46, 10, 10] },
          spread: 0.5,
          region: { left: 0.1, width: 0.1 },
          readAt: '2026-02-02T00:00:00.000Z',
        },
      },
      { id: 'photo-1', version: 3, body: { readAs: { chart: 'before 2014', sheet: 'A4' } } },
    ]);
    for (const step of steps) {
      expect(step.do === 'put' && BOOK_BODIES[step.kind].safeParse(step.body).success).toBe(true);
    }
  });

  it('says by how much and which way, and when a rough reading comes to be measured', () => {
    expect(changeInWords(kept('one', 0), [50, 10, 10.1], 'measured')).toBe(
      'Same as the saved reading (within 0.3 dE00).',
    );
    expect(
      changeInWords(kept('one', 0, { readingKind: 'rough' }), [46, 10, 10], 'measured'),
    ).toMatch(
      /^Compared with the saved reading: .*darker.* \(\d\.\d dE00\)\. The new reading is measured\.$/,
    );
  });
});
