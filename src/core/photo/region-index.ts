import type { FlatRegion } from './flat-regions.ts';
import type { Point } from './plane-view.ts';

/** Regions by the square of the picture they are in, so that a search stays local. */
export interface RegionIndex {
  readonly regions: readonly FlatRegion[];
  readonly squares: ReadonlyMap<number, readonly number[]>;
}

const SIDE_PX = 24;
/** More squares than any picture has across. */
const ACROSS = 1 << 16;

export function indexed(regions: readonly FlatRegion[]): RegionIndex {
  const squares = new Map<number, number[]>();
  regions.forEach(({ centre: [x, y] }, i) => {
    const key = squareOf(x) + ACROSS * squareOf(y);
    const there = squares.get(key);
    if (there === undefined) squares.set(key, [i]);
    else there.push(i);
  });
  return { regions, squares };
}

/** Indexes of the regions whose centres are within `reach` of a place, with their distances. */
export function within(
  { regions, squares }: RegionIndex,
  [x, y]: Point,
  reach: number,
): { readonly index: number; readonly away: number }[] {
  const out: { readonly index: number; readonly away: number }[] = [];
  for (let row = squareOf(y - reach); row <= squareOf(y + reach); row++) {
    for (let column = squareOf(x - reach); column <= squareOf(x + reach); column++) {
      for (const index of squares.get(column + ACROSS * row) ?? []) {
        const [cx, cy] = regions[index].centre;
        const away = Math.hypot(cx - x, cy - y);
        if (away < reach) out.push({ index, away });
      }
    }
  }
  return out;
}

function squareOf(v: number): number {
  return Math.max(0, Math.floor(v / SIDE_PX));
}
