import type { Lab } from '../../core/colour/triples.ts';
import { labOfReading } from './lab-of-reading.ts';
import { KINDS, type ReadingKind } from './reading-kind.ts';
import type { RecordOf } from './record.ts';

type ReadingBody = RecordOf<'reading'>['body'];

/** What a colour that is shown comes from. */
export type ShownFrom<R> =
  | { readonly from: 'reading'; readonly reading: R }
  /** As the newest clay model predicts the mix. */
  | { readonly from: 'predicted now' }
  /** As it was predicted when the mix was saved. */
  | { readonly from: 'predicted then' };

/**
 * The colour shown of a mix, tile or block: its best reading, else as the newest clay model predicts the
 * mix, else as it was predicted when the mix was saved. Lists, filters, words of search and the screens
 * all go by this.
 * Shape: readings with a colour, the oldest first; of equally good ones the oldest is shown
 */
export function shownColour<R>(of: {
  readonly readings: Iterable<R>;
  readonly quality: (reading: R) => number;
  readonly predictedNow: boolean;
  readonly predictedThen: boolean;
}): ShownFrom<R> | undefined {
  let best: { readonly reading: R; readonly quality: number } | undefined;
  for (const reading of of.readings) {
    const quality = of.quality(reading);
    if (best === undefined || quality < best.quality) best = { reading, quality };
  }
  if (best !== undefined) return { from: 'reading', reading: best.reading };
  if (of.predictedNow) return { from: 'predicted now' };
  return of.predictedThen ? { from: 'predicted then' } : undefined;
}

/** How a reading counts: one that was overridden counts as by eye. */
export function kindShown({ override, readingKind }: ReadingBody): ReadingKind {
  return override?.lab === undefined ? readingKind : 'by eye';
}

/** State and kind of a reading in one word, as the index keeps them. */
export function statusOfReading(body: ReadingBody): string {
  return `${body.state}, ${kindShown(body)}`;
}

const STATUSES = ['baked', 'raw'].flatMap((state) => KINDS.map((kind) => `${state}, ${kind}`));
const QUALITIES = new Map(STATUSES.map((status, quality) => [status, quality]));

/** How good a reading of this status is, 0 the best: baked before raw, then by kind. */
export function qualityOfStatus(status: string): number {
  return QUALITIES.get(status) ?? STATUSES.length;
}

export function kindOfStatus(status: string): ReadingKind {
  return KINDS.find((kind) => status.endsWith(`, ${kind}`))!;
}

/** The best reading first: baked before raw, then by kind. */
export function byQuality(one: RecordOf<'reading'>, other: RecordOf<'reading'>): number {
  return qualityOf(one) - qualityOf(other);
}

/** The best reading that has a colour, with the colour. */
export function bestOf(
  readings: readonly RecordOf<'reading'>[],
): { readonly reading: RecordOf<'reading'>; readonly lab: Lab } | undefined {
  const coloured = readings.flatMap((reading) => {
    const lab = labOfReading(reading.body);
    return lab === undefined ? [] : [{ reading, lab }];
  });
  const shown = shownColour({
    readings: coloured,
    quality: ({ reading }) => qualityOf(reading),
    predictedNow: false,
    predictedThen: false,
  });
  return shown?.from === 'reading' ? shown.reading : undefined;
}

function qualityOf({ body }: RecordOf<'reading'>): number {
  return qualityOfStatus(statusOfReading(body));
}
