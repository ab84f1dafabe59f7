import { describe, expect, it } from 'vitest';
import type { Point } from '../../core/photo/plane-view.ts';
import { labelPlaces } from './label-places.ts';

const square = (x: number, y: number, side = 100): readonly Point[] => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
];
const SIZE = { widthPx: 1000, heightPx: 800 };

/** Whether a number of two letters, 30 high, lies on a tile. */
const covers = ([x, y]: Point, [[left, top], , [right, bottom]]: readonly Point[]) =>
  x + 37 > left && x < right && y > top && y - 25 < bottom;

describe('numbers beside tiles', () => {
  it('stand left of a tile that has room there', () => {
    const [[x, y]] = labelPlaces([{ name: '1', outline: square(200, 200) }], 30, SIZE);
    expect(x).toBeLessThan(200 - 15);
    expect(y).toBeGreaterThan(200);
    expect(y).toBeLessThan(240);
  });

  it('cover no tile where tiles stand close together, and stay in the photo', () => {
    const tiles = [0, 1, 2, 3].flatMap((row) =>
      [0, 1, 2, 3].map((column) => ({
        name: `${4 * row + column + 1}`.padStart(2, '0'),
        outline: square(5 + 112 * column, 60 + 150 * row),
      })),
    );
    const places = labelPlaces(tiles, 30, SIZE);
    for (const place of places) {
      expect(tiles.some(({ outline }) => covers(place, outline))).toBe(false);
      expect(place[0]).toBeGreaterThanOrEqual(0);
    }
  });

  it('stand somewhere even where every side is taken', () => {
    const tiles = [0, 1, 2].flatMap((row) =>
      [0, 1, 2].map((column) => ({
        name: `${3 * row + column}`,
        outline: square(100 + 100 * column, 100 + 100 * row),
      })),
    );
    expect(labelPlaces(tiles, 30, SIZE)).toHaveLength(9);
  });
});
