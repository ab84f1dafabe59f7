import { describe, expect, it } from 'vitest';
import { seededChance } from '../numeric/seeded-chance.ts';
import { hueGaps } from './hue-gaps.ts';
import { labFromLch } from './spaces.ts';

const at = (hue: number, chroma = 40) => labFromLch([50, chroma, hue]);

describe('hueGaps', () => {
  it('finds the widest first, also over the seam of the circle', () => {
    const gaps = hueGaps([at(40), at(100), at(300), at(330)], 50);
    expect(gaps.map(({ from, to }) => [Math.round(from), Math.round(to)])).toEqual([
      [100, 300],
      [330, 400],
      [40, 100],
    ]);
    expect(gaps[1]).toMatchObject({ before: 3, after: 0 });
  });

  it('lets greys fill nothing, and a single colour leave the whole circle', () => {
    const [gap, ...rest] = hueGaps([at(10), at(190, 5)], 30);
    expect(rest).toEqual([]);
    expect(gap.to - gap.from).toBeCloseTo(360, 9);
    expect(hueGaps([at(190, 5)], 30)).toEqual([]);
  });

  it('parts the whole circle among the colours', () => {
    const chance = seededChance(3);
    for (let round = 0; round < 50; round++) {
      const labs = Array.from({ length: 1 + (round % 9) }, () => at(360 * chance.uniform()));
      const sum = hueGaps(labs, 0).reduce((all, { from, to }) => all + to - from, 0);
      expect(sum).toBeCloseTo(360, 6);
    }
  });

  it('refuses what is not a number', () => {
    expect(() => hueGaps([[50, Number.NaN, 0]], 30)).toThrow();
  });
});
