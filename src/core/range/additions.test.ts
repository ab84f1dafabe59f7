import { describe, expect, it } from 'vitest';
import { joined, volumeOf } from '../colour/colour-range.ts';
import { labFromLch } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { bestAdditions, broughtBy } from './additions.ts';

/** Colours of one hue up to a chroma. */
const wedge = (hue: number, most: number): Lab[] =>
  Array.from({ length: 20 }, (_, slice) =>
    Array.from({ length: 8 }, (_, turn) =>
      labFromLch([5 * slice + 2, most, (hue + 5 * turn) % 360]),
    ),
  ).flat();

describe('the few additions that bring most', () => {
  it('are each the best beside those before', () => {
    const random = seededChance(3);
    const start = broughtBy(wedge(0, 20), []);
    const additions = Array.from({ length: 12 }, (_, of) => ({
      of,
      ...broughtBy(wedge(360 * random.uniform(), 10 + 60 * random.uniform()), []),
    }));
    const chosen = bestAdditions(start, additions, 4);
    expect(chosen.length).toBe(4);
    let { range } = start;
    const left = new Set(additions);
    for (const { of, gain } of chosen) {
      const gains = [...left].map((one) => volumeOf(joined(range, one.range)) - volumeOf(range));
      expect(gain).toBeCloseTo(Math.max(...gains), 6);
      range = joined(range, additions[of].range);
      left.delete(additions[of]);
    }
  });

  it('put wanted colours before range, and name nothing that brings neither', () => {
    const wanted = [{ lab: labFromLch([42, 30, 200]), tolerance: 2 }];
    const start = broughtBy(wedge(0, 20), wanted);
    expect(start.gives.size).toBe(0);
    const additions = [
      { of: 'wide', ...broughtBy(wedge(90, 80), wanted) },
      { of: 'wanted', ...broughtBy([labFromLch([42, 30, 200])], wanted) },
      { of: 'nothing', ...broughtBy(wedge(0, 15), wanted) },
    ];
    const chosen = bestAdditions(start, additions, 3);
    expect(chosen.map(({ of }) => of)).toEqual(['wanted', 'wide']);
    expect(chosen[0].gives).toEqual([0]);
    expect(chosen[1].gives).toEqual([]);
  });
});
