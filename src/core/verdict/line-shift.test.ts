import { describe, expect, it } from 'vitest';
import { labFromLch } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { lineShift } from './line-shift.ts';

const darker = (raw: Lab, by: number): Lab => [raw[0] - by, raw[1], raw[2]];

describe('lineShift', () => {
  it('reports a lightness that drops in every tile, and nothing about chroma', () => {
    const raws: Lab[] = [
      [50, 0, 0],
      [50, 40, 10],
      [50, -20, 30],
    ];
    const { sides, words, how, tiles } = lineShift(
      raws.map((raw) => ({ raw, baked: darker(raw, 2), spread: 0.1 })),
    );
    expect(tiles).toBe(3);
    expect(words).toBe('darkens a little');
    expect(how).toBe('from 3 tiles, nearly alike');
    // At L* near 50 CIEDE2000 divides lightness by S_L, 1 to half a hundredth [Sharma2005].
    expect(sides[0].mean).toBeCloseTo(-2, 1);
    expect(sides[1].mean).toBeCloseTo(0, 9);
  });

  it('reports chroma that falls at a fixed hue as duller', () => {
    const tile = (hue: number) => ({
      raw: labFromLch([60, 40, hue]),
      baked: labFromLch([60, 32, hue]),
      spread: 0.2,
    });
    const { words, sides } = lineShift([tile(20), tile(140), tile(260)]);
    expect(words).toBe('dulls a little');
    expect(sides[1].mean).toBeLessThan(-2);
  });

  it('reports nothing that the readings’ own noise would give', () => {
    const chance = seededChance(5);
    let claimed = 0;
    const rounds = 400;
    for (let round = 0; round < rounds; round++) {
      const noisy = (lab: Lab): Lab => [
        lab[0] + chance.normal(),
        lab[1] + chance.normal(),
        lab[2] + chance.normal(),
      ];
      const tiles = Array.from(
        { length: 4 },
        (_, i): Lab => [50, 30 * Math.cos(i), 30 * Math.sin(i)],
      ).map((lab) => ({ raw: noisy(lab), baked: noisy(lab), spread: 1 }));
      if (lineShift(tiles).sides[0].seen) claimed++;
    }
    // Twice a standard error is passed about once in 22 times by chance.
    expect(claimed / rounds).toBeLessThan(0.08);
  });

  it('is more certain with more tiles of the same kind, and never more certain than the readings allow', () => {
    const tile = { raw: [50, 0, 0] as Lab, baked: [48, 0, 0] as Lab, spread: 1 };
    const one = lineShift([tile]).sides[0].plusMinus;
    const four = lineShift([tile, tile, tile, tile]).sides[0].plusMinus;
    expect(one).toBeCloseTo(Math.SQRT2, 12);
    expect(four).toBeCloseTo(Math.SQRT2 / 2, 12);
  });

  it('refuses an empty list and what is not a number', () => {
    expect(() => lineShift([])).toThrow();
    expect(() => lineShift([{ raw: [50, 0, 0], baked: [Number.NaN, 0, 0], spread: 1 }])).toThrow();
    expect(() => lineShift([{ raw: [50, 0, 0], baked: [50, 0, 0], spread: -1 }])).toThrow();
  });
});
