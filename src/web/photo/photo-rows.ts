import { type CombinedReading, combineReadings } from '../../core/photo/combine-readings.ts';
import type { PhotoResult, TileResult } from '../../domain/photo-result.ts';
import type { PhotoRead } from './photo-reads.ts';

/** One tile of a tray, over all photos of it. */
export interface PhotoRow {
  readonly key: string;
  readonly tray: number;
  readonly name: string;
  /** The best first. */
  readonly shots: readonly TileShot[];
  /** The shots the reading is made of: those of the best quality. */
  readonly counted: readonly TileShot[];
  readonly reading: CombinedReading;
  /** 0 poor, 1 usable or in disagreement with another photo, 2 good. */
  readonly worth: 0 | 1 | 2;
  /** Added by a tap, so that it can be removed. */
  readonly tapped: boolean;
}

export interface TileShot {
  readonly draftId: string;
  readonly photoResult: PhotoResult;
  /** Place among the tiles of its photo. */
  readonly index: number;
  readonly tile: TileResult;
}

const WORTH = { poor: 0, usable: 1, good: 2 } as const;

/**
 * Tiles of all photos, each once per tray, in the order of their trays.
 * Holds:   poor shots of a tile do not count if there is a better one
 */
export function photoRows(reads: readonly PhotoRead[]): readonly PhotoRow[] {
  const shots = new Map<string, TileShot[]>();
  for (const { photo, photoResult } of reads) {
    for (const [index, tile] of (photoResult?.tiles ?? []).entries()) {
      const key = rowKey(photo.tray, tile.name);
      const shot = { draftId: photo.draftId, photoResult: photoResult!, index, tile };
      shots.set(key, [...(shots.get(key) ?? []), shot]);
    }
  }
  const taps = new Set(
    reads.flatMap(({ photo }) => photo.taps.map(({ name }) => rowKey(photo.tray, name))),
  );
  const rows = [...shots].map(([key, all]): PhotoRow => {
    const best = [...all].sort((a, b) => WORTH[b.tile.quality] - WORTH[a.tile.quality]);
    const counted = best.filter(({ tile }) => tile.quality === best[0].tile.quality);
    const reading = combineReadings(
      counted.map(({ tile }) => ({ lab: tile.lab, covariance: tile.cov.flat() })),
    );
    const own = WORTH[best[0].tile.quality];
    return {
      key,
      tray: Number(key.split('/')[0]),
      name: best[0].tile.name,
      shots: best,
      counted,
      reading,
      worth: reading.disagree ? (Math.min(1, own) as 0 | 1) : own,
      tapped: taps.has(key),
    };
  });
  return rows.sort(
    (one, other) =>
      one.tray - other.tray || one.name.localeCompare(other.name, 'en', { numeric: true }),
  );
}

export function rowKey(tray: number, name: string): string {
  return `${tray}/${name}`;
}

/** Why a row should be checked, in words. */
export function doubtsOf({ shots, reading, worth }: PhotoRow): readonly string[] {
  const doubts = worth === 2 ? [] : [...new Set(shots[0].tile.marks.map(({ reason }) => reason))];
  if (reading.disagree) {
    doubts.push('the photos differ too much: do all of them show the same tray?');
  }
  return doubts;
}
