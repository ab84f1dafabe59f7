import { describe, expect, it } from 'vitest';
import { seededChance } from '../numeric/seeded-chance.ts';
import { deltaE2000 } from './difference.ts';
import { closestOf, comparedTo, edgeOf, hueOfSector, SECTORS, sectorOf } from './edge.ts';
import { labFromLch } from './spaces.ts';
import type { Lab } from './triples.ts';

describe('how far colours reach', () => {
  it('is the largest chroma of each hue, at that lightness alone', () => {
    const points = [
      labFromLch([50, 30, hueOfSector(10)]),
      labFromLch([53, 40, hueOfSector(10)]),
      labFromLch([60, 80, hueOfSector(10)]),
      labFromLch([50, 20, hueOfSector(12)]),
    ];
    const edge = edgeOf(points, 50);
    expect(edge[10]).toBeCloseTo(40, 9);
    // Between two that have some, on the line between them; beyond them, none.
    const radians = (hueOfSector(11) * Math.PI) / 180;
    const [x, y] = [edge[11] * Math.cos(radians), edge[11] * Math.sin(radians)];
    const [[, x1, y1], [, x2, y2]] = [points[1], points[3]];
    expect((x - x1) * (y2 - y1) - (y - y1) * (x2 - x1)).toBeCloseTo(0, 6);
    expect(edge[12]).toBeCloseTo(20, 9);
    expect(edge.filter((v) => v > 0).length).toBe(3);
  });

  it('has no false spikes: a hue without a strong mix of its own is bridged by its neighbours', () => {
    const random = seededChance(11);
    const points = Array.from({ length: 90 }, () =>
      labFromLch([50, 40 * Math.sqrt(random.uniform()), 360 * random.uniform()]),
    );
    const edge = edgeOf(points, 50);
    for (let i = 0; i < SECTORS; i++) {
      const [one, other] = [edge[(i + SECTORS - 1) % SECTORS], edge[(i + 1) % SECTORS]];
      expect(edge[i]).toBeGreaterThan(0.9 * Math.min(one, other));
    }
    expect(Math.max(...edge)).toBeLessThanOrEqual(40);
  });

  it('counts every hue to one sector, round the circle', () => {
    for (let i = 0; i < SECTORS; i++) expect(sectorOf(hueOfSector(i))).toBe(i);
    expect(sectorOf(360)).toBe(0);
  });

  it('tells where one stock goes before and stays behind another', () => {
    const one = new Array<number>(SECTORS).fill(20);
    const other = [...one];
    other[5] = 10;
    other[40] = 35;
    expect(comparedTo(one, other)).toEqual({ farther: 5, nearer: 40 });
    expect(comparedTo(one, one)).toEqual({});
  });

  it('finds the same closest colour as trying every one', () => {
    const random = seededChance(5);
    const any = (): Lab => [
      20 + 70 * random.uniform(),
      -60 + 120 * random.uniform(),
      -60 + 120 * random.uniform(),
    ];
    for (let round = 0; round < 20; round++) {
      const points = Array.from({ length: 400 }, any);
      const aim = any();
      const least = Math.min(...points.map((lab) => deltaE2000(aim, lab)));
      expect(closestOf(points, aim)?.dE00).toBe(least);
    }
    expect(closestOf([], [50, 0, 0])).toBeUndefined();
  });
});
