import type { Lab } from '../../core/colour/triples.ts';
import { type ReadingKind, spreadOfKind } from '../records/reading-kind.ts';
import type { BodyOf } from '../records/record.ts';

/** What a reading says of one colour as it was got; D50, 2 degrees, without the mirror-like part. */
export function labReading(
  [l, a, b]: Lab,
  readingKind: ReadingKind,
  state: BodyOf<'reading'>['state'],
) {
  return {
    readingKind,
    state,
    lab: { values: [l, a, b], light: 'D50', observer: 2 },
    spread: spreadOfKind(readingKind),
    geometry: 'excluded',
  } as const satisfies Omit<BodyOf<'reading'>, 'of'>;
}
