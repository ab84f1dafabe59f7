import { describe, expect, it } from 'vitest';
import { curveTable, SRGB_TO_XYZ_D50, srgbDecoded } from './encoding.ts';
import type { Point } from './plane-view.ts';
import { readPhoto } from './read-photo.ts';

const [WIDTH, HEIGHT] = [640, 480];
const curve = curveTable(255, srgbDecoded);
const colour = { curves: [curve, curve, curve] as const, toXyz: SRGB_TO_XYZ_D50 };

/** Reads square tiles of 40 pixels on a grey table, found without a tap. */
function readTable(middles: readonly Point[]) {
  const codes = new Uint8Array(WIDTH * HEIGHT * 3);
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
    const on = middles.some(([mx, my]) => Math.abs(x - mx) < 20 && Math.abs(y - my) < 20);
    codes.set(on ? [60, 90, 140] : [150, 148, 144], 3 * i);
  }
  const picture = { width: WIDTH, height: HEIGHT, codes };
  return readPhoto({ picture, colours: [colour], layouts: [], findTiles: true });
}

describe('tiles found on a table', () => {
  it('are counted as they were read', () => {
    const { tiles, notes } = readTable([
      [200, 200],
      [400, 200],
    ]);
    expect(tiles.map(({ name }) => name)).toEqual(['1', '2']);
    expect(notes.join()).toContain('2 tiles were found');
  });

  it('are not said to be there where none could be read', () => {
    const { tiles, notes } = readTable([[200, 21]]);
    expect(tiles).toEqual([]);
    expect(notes).toEqual([]);
  });

  it('are read also where one lies close to the rim of the photo', () => {
    const { tiles, notes } = readTable([
      [200, 200],
      [400, 32],
    ]);
    expect(tiles).toHaveLength(2);
    expect(tiles.every(({ outline }) => outline.length > 8)).toBe(true);
    expect(notes.join()).toContain('2 tiles were found');
  });
});
