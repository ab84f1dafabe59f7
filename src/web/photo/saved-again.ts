import { deltaE2000 } from '../../core/colour/difference.ts';
import type { Lab } from '../../core/colour/triples.ts';
import type { Point } from '../../core/photo/plane-view.ts';
import { sideInWords, sidesOf } from '../../core/verdict/verdict.ts';
import { change } from '../../domain/changes/steps.ts';
import type { PhotoResult, TileResult } from '../../domain/photo-result.ts';
import type { BookStep } from '../../domain/records/change.ts';
import { labOfReading } from '../../domain/records/lab-of-reading.ts';
import type { BodyOf, RecordOf } from '../../domain/records/record.ts';
import { asRead } from './as-read.ts';
import type { Tap } from './photo-session-store.ts';

export type SavedReading = RecordOf<'reading'>;

/** Where in the photo a reading of it was taken, in pixels. */
function middleOf(
  { body: { region } }: SavedReading,
  { widthPx, heightPx }: Pick<PhotoResult, 'widthPx' | 'heightPx'>,
): Point | undefined {
  if (region === undefined) return undefined;
  const { left, top, width, height } = region;
  return [(left + width / 2) * widthPx, (top + height / 2) * heightPx];
}

/**
 * Matches tiles of a new reading of a photo with readings of the book: the one with the nearest middle,
 * within its box.
 * Holds:   one tile per reading at most, and one reading per tile
 */
export function pairReadings(
  readings: readonly SavedReading[],
  photoResult: Pick<PhotoResult, 'widthPx' | 'heightPx' | 'tiles'>,
): ReadonlyMap<string, TileResult> {
  const near = readings.flatMap((reading) => {
    const middle = middleOf(reading, photoResult);
    if (middle === undefined) return [];
    const { width, height } = reading.body.region!;
    const reach: Point = [(width * photoResult.widthPx) / 2, (height * photoResult.heightPx) / 2];
    return photoResult.tiles.flatMap((tile) => {
      const off = [0, 1].map((k) => Math.abs(tile.centre[k] - middle[k]));
      return off[0] <= reach[0] && off[1] <= reach[1]
        ? [{ id: reading.id, tile, off: Math.hypot(...off) }]
        : [];
    });
  });
  const pairs = new Map<string, TileResult>();
  const used = new Set<TileResult>();
  for (const { id, tile } of near.toSorted((one, other) => one.off - other.off)) {
    if (pairs.has(id) || used.has(tile)) continue;
    pairs.set(id, tile);
    used.add(tile);
  }
  return pairs;
}

/** Taps on readings that are not found automatically. */
export function tapsOf(
  readings: readonly SavedReading[],
  size: Pick<PhotoResult, 'widthPx' | 'heightPx'>,
): readonly Tap[] {
  return readings.flatMap((reading, i) => {
    const at = middleOf(reading, size);
    return at === undefined ? [] : [{ name: `tap ${i + 1}`, at }];
  });
}

/** The changed readings, and the settings of the photo for the next time. */
export function againSteps(
  photo: RecordOf<'photo'>,
  readAs: NonNullable<BodyOf<'photo'>['readAs']>,
  pairs: readonly (readonly [SavedReading, TileResult])[],
  photoResult: PhotoResult,
  now: string,
): readonly BookStep[] {
  return [
    ...pairs.map(([reading, tile]) => {
      // A spectrum would be used instead of the colour; a photo gives none.
      const { spectrum: _, ...body } = reading.body;
      return change(reading, { ...body, ...asRead(photoResult, tile), readAt: now });
    }),
    change(photo, { ...photo.body, readAs }),
  ];
}

/** Smaller differences are not mentioned, dE00. */
const ALIKE = 0.3;

/** What a new reading would change in the saved one. */
export function changeInWords(
  { body }: SavedReading,
  lab: Lab,
  readingKind: 'measured' | 'rough',
): string {
  const { override: _, ...asItWas } = body;
  const before = labOfReading(asItWas);
  const kind =
    body.readingKind === readingKind
      ? ''
      : readingKind === 'measured'
        ? ' The new reading is measured.'
        : ' The new reading is rough.';
  if (before === undefined) return `New colour; there was none before.${kind}`;
  const apart = deltaE2000(before, lab);
  if (apart < ALIKE) return `Same as the saved reading (within ${ALIKE} dE00).${kind}`;
  const sides = sidesOf(before, lab).slice(0, 2).map(sideInWords);
  return `Compared with the saved reading: ${sides.join(', ')} (${apart.toFixed(1)} dE00).${kind}`;
}
