import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { bakedFromRaw } from './baked-from-raw.ts';

/** Reds darken, blues hardly change: a shift that belongs to the colour. */
const bake = ([l, a, b]: Lab): Lab => [l - 1 - Math.max(0, a) / 12, a, b + 1];

describe('the baked colour of raw clay', () => {
  it('knows nothing but a wide guess without tiles', () => {
    const { lab, spread } = bakedFromRaw([60, 10, 20], 0.5, []);
    expect(lab).toEqual([60, 10, 20]);
    expect(spread).toBeGreaterThan(3);
  });

  it('takes over the shift of a tile of that colour, and less of one far away', () => {
    const tiles = [{ raw: [60, 40, 20], baked: [55, 40, 20], spread: 0.3 }] as const;
    const same = bakedFromRaw([60, 40, 20], 0.3, tiles);
    const far = bakedFromRaw([40, -50, -30], 0.3, tiles);
    expect(same.lab[0]).toBeCloseTo(55, 0);
    expect(far.lab[0]).toBeGreaterThan(same.lab[0] - 20);
    expect(40 - far.lab[0]).toBeLessThan(60 - same.lab[0]);
    expect(far.spread).toBeGreaterThan(same.spread + 1);
  });

  it('comes within its spread under a law that is not its own, and closer than the raw colour', () => {
    const chance = seededChance(11);
    const colour = (): Lab => [
      25 + 60 * chance.uniform(),
      60 * (chance.uniform() - 0.5) * 2,
      60 * (chance.uniform() - 0.5) * 2,
    ];
    const tiles = Array.from({ length: 20 }, () => {
      const raw = colour();
      return { raw, baked: bake(raw), spread: 0.4 };
    });
    let inside = 0;
    let better = 0;
    for (let i = 0; i < 200; i++) {
      const raw = colour();
      const truth = bake(raw);
      const { lab, spread } = bakedFromRaw(raw, 0.4, tiles);
      const off = Math.hypot(...truth.map((v, axis) => v - lab[axis]));
      if (off < 2.5 * spread) inside++;
      if (off < Math.hypot(...truth.map((v, axis) => v - raw[axis]))) better++;
    }
    expect(inside).toBeGreaterThan(180);
    expect(better).toBeGreaterThan(150);
  });
});
