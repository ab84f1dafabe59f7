import { expect, it } from 'vitest';
import type { RecordOf } from '../../domain/records/record.ts';
import { knownFirst } from './known-first.ts';

const reading = (tile: string, photoId: string, spread: number, readingKind = 'measured') =>
  ({
    body: {
      of: { kind: 'tile', id: tile },
      readingKind,
      state: 'baked',
      lab: { values: [50, 0, 0], light: 'D50', observer: 2 },
      spread,
      photoId,
    },
  }) as unknown as RecordOf<'reading'>;

it('offers tiles read on several occasions first, then the surest, and none that is only rough', () => {
  const readings = [
    reading('once, sure', 'p1', 0.2),
    reading('once', 'p1', 0.6),
    reading('often', 'p1', 0.9),
    reading('often', 'p2', 0.8),
    // Twice in one photo is one occasion.
    reading('twice there', 'p3', 0.4),
    reading('twice there', 'p3', 0.4),
    reading('rough', 'p1', 0.1, 'rough'),
    reading('rough', 'p2', 0.1, 'rough'),
  ];
  expect(knownFirst(readings)).toEqual(['often', 'once, sure', 'twice there', 'once']);
});
