import type { RecordOf } from '../../domain/records/record.ts';
import { earlierOf } from './photo-words.ts';

/** Most tiles offered: a longer list is no help. */
const MOST = 12;

/** Measured tiles of the book: those measured on several occasions first, then the most certain. */
export function knownFirst(readings: readonly RecordOf<'reading'>[]): readonly string[] {
  const tiles = new Map<string, { occasions: Set<string>; spread: number }>();
  for (const reading of readings) {
    const { of, state, spread, photoId, source, readAt } = reading.body;
    const isKnown = earlierOf({ earlier: [reading], state }).length > 0;
    if (of.kind !== 'tile' || !isKnown) continue;
    const tile = tiles.get(of.id) ?? { occasions: new Set(), spread };
    tile.occasions.add(photoId ?? source ?? readAt?.slice(0, 10) ?? '');
    tiles.set(of.id, { ...tile, spread: Math.min(tile.spread, spread) });
  }
  const often = ({ occasions }: { occasions: Set<string> }) => Number(occasions.size > 1);
  return [...tiles]
    .sort(([, one], [, other]) => often(other) - often(one) || one.spread - other.spread)
    .slice(0, MOST)
    .map(([id]) => id);
}
