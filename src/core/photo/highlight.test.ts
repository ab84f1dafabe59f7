import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { curveTable, SRGB_TO_XYZ_D50, srgbDecoded } from './encoding.ts';
import type { PlaneView } from './plane-view.ts';
import { tileArea } from './tile-area.ts';

const SIDE = 200;
const HALF = 50;
const curve = curveTable(255, srgbDecoded);
const colour = { curves: [curve, curve, curve] as const, toXyz: SRGB_TO_XYZ_D50 };
const plain: PlaneView = {
  perspective: [1, 0, 0, 0, 1, 0, 0, 0, 1],
  middle: [0, 0],
  reach: 1,
  bend: 0,
};

/** A tile in the middle of a table, with a highlight that fades: codes 0 to 1. */
function looked(table: readonly number[], tile: number, shine: number) {
  const random = randomFrom(5);
  const codes = new Uint8Array(SIDE * SIDE * 3);
  for (let i = 0; i < SIDE * SIDE; i++) {
    const [x, y] = [(i % SIDE) - SIDE / 2, Math.floor(i / SIDE) - SIDE / 2];
    const on = Math.max(Math.abs(x), Math.abs(y)) < HALF;
    const light = on ? tile + shine * Math.exp(-0.5 * (Math.hypot(x, y) / 14) ** 2) : undefined;
    for (let c = 0; c < 3; c++) {
      codes[3 * i + c] = 255 * (light ?? table[c]) + 0.6 * random.normal();
    }
  }
  const seen = tileArea(
    { width: SIDE, height: SIDE, codes },
    colour,
    plain,
    [SIDE / 2, SIDE / 2],
    160,
    false,
  );
  if (typeof seen === 'string') throw new Error(seen);
  return seen;
}

const reachOf = ({ centre, outline }: ReturnType<typeof looked>) =>
  Math.max(...outline.map(([x, y]) => Math.hypot(x - centre[0], y - centre[1])));

describe('a dark glossy tile', () => {
  it('is outlined by its own edge, also where that is faint', () => {
    const seen = looked([0.165, 0.14, 0.115], 0.12, 0.45);
    expect(seen.outlineSeen).toBe(true);
    expect(reachOf(seen)).toBeGreaterThan(HALF);
    expect(Math.abs(seen.light[1] - srgbDecoded(0.12))).toBeLessThan(0.004);
  });

  it('is not outlined by its highlight where its edge is not seen', () => {
    expect(looked([0.125, 0.125, 0.125], 0.12, 0.45).outlineSeen).toBe(false);
  });

  it('that is pale and ends in a step is a tile', () => {
    const seen = looked([0.2, 0.2, 0.2], 0.7, 0);
    expect(seen.outlineSeen).toBe(true);
    expect(reachOf(seen)).toBeGreaterThan(HALF);
  });
});
