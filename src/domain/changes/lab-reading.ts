import type { Lab } from '../../core/colour/triples.ts';
import { type ReadingKind, spreadOfKind } from '../records/reading-kind.ts';
import type { BodyOf } from '../records/record.ts';

/**
 * What a reading says of one colour as it was got; D50, 2 degrees. An eye and a photo look past the gloss;
 * of an instrument the user may state whether it does.
 */
export function labReading(
  [l, a, b]: Lab,
  readingKind: ReadingKind,
  state: BodyOf<'reading'>['state'],
  geometry: BodyOf<'reading'>['geometry'] = 'excluded',
) {
  return {
    readingKind,
    state,
    lab: { values: [l, a, b], light: 'D50', observer: 2 },
    spread: spreadOfKind(readingKind),
    geometry,
  } as const satisfies Omit<BodyOf<'reading'>, 'of'>;
}
