import type { Lab } from '../../core/colour/triples.ts';
import { KINDS } from '../reading-kind.ts';
import { labOfReading } from './lab-of-reading.ts';
import type { RecordOf } from './record.ts';

/** The surest reading first: baked before raw, then as it was got; an override one counts as by eye. */
export function byDataQuality(one: RecordOf<'reading'>, other: RecordOf<'reading'>): number {
  return rank(one) - rank(other);
}

/** The first reading that tells a colour, with the colour. */
export function surestOf(
  readings: readonly RecordOf<'reading'>[],
): { readonly reading: RecordOf<'reading'>; readonly lab: Lab } | undefined {
  for (const reading of [...readings].sort(byDataQuality)) {
    const lab = labOfReading(reading.body);
    if (lab !== undefined) return { reading, lab };
  }
  return undefined;
}

function rank({ body }: RecordOf<'reading'>): number {
  const readingKind = body.override?.lab === undefined ? body.readingKind : 'by eye';
  return (body.state === 'baked' ? 0 : KINDS.length) + KINDS.indexOf(readingKind);
}
