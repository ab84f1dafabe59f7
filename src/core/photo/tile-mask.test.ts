import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { CELLS, cellsMarked, square } from './cell-masks.ts';
import { settled } from './tile-mask.ts';

/** A tile of code 0.2 over the middle, with what shines on it. */
function tile(shine: (away: number) => number) {
  const random = randomFrom(11);
  const codes = new Float32Array(3 * CELLS * CELLS);
  for (let i = 0; i < CELLS * CELLS; i++) {
    const away = Math.hypot((i % CELLS) - CELLS / 2, Math.floor(i / CELLS) - CELLS / 2) / CELLS;
    for (let c = 0; c < 3; c++) codes[3 * i + c] = 0.2 + shine(away) + 0.004 * random.normal();
  }
  return codes;
}

function readLevel(codes: Float32Array): { readonly level: number; readonly part: number } {
  const body = square(0.3);
  const kept = settled(codes, body);
  let sum = 0;
  kept.forEach((on, i) => {
    if (on === 1) sum += codes[3 * i];
  });
  return { level: sum / cellsMarked(kept), part: cellsMarked(kept) / cellsMarked(body) };
}

describe('the clay of a tile', () => {
  it('is read beside a highlight', () => {
    const { level, part } = readLevel(tile((away) => 0.5 * Math.exp(-0.5 * (away / 0.05) ** 2)));
    expect(Math.abs(level - 0.2)).toBeLessThan(0.01);
    expect(part).toBeGreaterThan(0.6);
  });

  it('is read at its darkest under a shine over all of it, and little of it counts', () => {
    const { level, part } = readLevel(tile((away) => 0.4 * Math.exp(-0.5 * (away / 0.17) ** 2)));
    expect(level).toBeLessThan(0.2 + 0.4 * 0.35);
    expect(part).toBeLessThan(0.4);
  });
});
