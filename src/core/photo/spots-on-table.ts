import type { TileSpot } from './photo-tiles.ts';
import type { Picture } from './picture.ts';
import type { PlaneView } from './plane-view.ts';
import { proposeTiles } from './propose-tiles.ts';

/** Tiles that were tapped, and those that seem to lie on the table. */
export function spotsOnTable(
  picture: Picture,
  charts: readonly PlaneView[],
  taps: readonly TileSpot[],
): readonly TileSpot[] {
  const proposed = proposeTiles(picture, charts).filter(({ at, sidePx }) =>
    taps.every((tap) => Math.hypot(tap.at[0] - at[0], tap.at[1] - at[1]) > sidePx / 2),
  );
  return [...proposed.map((one, i) => ({ name: String(i + 1), ...one })), ...taps];
}

/** What is said of the spots that were not tapped, those without a tile left out; undefined where none is left. */
export function foundNote(
  spots: readonly TileSpot[],
  tapped: readonly TileSpot[],
  missed: readonly string[],
): string | undefined {
  const found = spots.filter((spot) => !tapped.includes(spot) && !missed.includes(spot.name));
  if (found.length === 0) return undefined;
  const tiles = found.length === 1 ? '1 tile was' : `${found.length} tiles were`;
  return `${tiles} found on the table. Leave out what is no tile, and tap a tile that is missing.`;
}
