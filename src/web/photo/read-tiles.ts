import type { ReadTile } from '../../domain/changes/accept-tiles.ts';
import { asRead } from './as-read.ts';
import type { Target } from './match-code.ts';
import type { PhotoRow } from './photo-rows.ts';
import type { State } from './photo-session-store.ts';

/** A tile of the photos with what the words beside it stand for. */
export interface ImportedRow {
  readonly row: PhotoRow;
  readonly state: State;
  readonly target: Target;
  /** The user looked at tile and name and said that they belong together. */
  readonly sure?: boolean;
}

/**
 * Tiles of photos as the book saves them: a reading for every photo a tile was well seen in, so that
 * readings of one photo share its error. Tiles whose words stand for nothing are left out.
 */
export function readTilesOf(
  rows: readonly ImportedRow[],
  photoIds: ReadonlyMap<string, string>,
  readAt: string,
): readonly ReadTile[] {
  return rows.flatMap(({ row, state, target, sure }) => {
    if (target.is === 'nothing' || target.is === 'unknown') return [];
    const readings = row.counted.map(({ draftId, photoResult, tile }) => ({
      readAt,
      photoId: photoIds.get(draftId)!,
      ...(sure === true ? { checked: true } : {}),
      ...asRead(photoResult, tile),
    }));
    return [{ target, state, readings }];
  });
}
