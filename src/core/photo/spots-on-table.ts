import type { TileSpot } from './photo-tiles.ts';
import type { Picture } from './picture.ts';
import type { PlaneView } from './plane-view.ts';
import { proposeTiles } from './propose-tiles.ts';

/** Tiles that were tapped, and those that seem to lie on the table; a note says how many. */
export function spotsOnTable(
  picture: Picture,
  charts: readonly PlaneView[],
  taps: readonly TileSpot[],
  notes: string[],
): readonly TileSpot[] {
  const proposed = proposeTiles(picture, charts).filter(({ at, sidePx }) =>
    taps.every((tap) => Math.hypot(tap.at[0] - at[0], tap.at[1] - at[1]) > sidePx / 2),
  );
  if (proposed.length > 0) {
    notes.push(
      `${proposed.length} ${proposed.length === 1 ? 'tile was' : 'tiles were'} found on the table. Leave out what is no tile, and tap a tile that is missing.`,
    );
  }
  return [...proposed.map((one, i) => ({ name: String(i + 1), ...one })), ...taps];
}
