import { expect, it } from 'vitest';
import { contentsOf } from './colour-contents.ts';

it('says what equal parts by volume are by weight, and the other way', () => {
  const densities = new Map([
    ['Kelp', 1.25],
    ['Foam', 1],
  ]);
  const densityOf = (clay: string) => densities.get(clay) ?? Number.NaN;
  const equal = [
    { clay: 'Kelp', parts: 1 },
    { clay: 'Foam', parts: 1 },
  ];
  const { claysIn } = contentsOf(
    new Map([
      ['by volume', { basis: 'volume' as const, parts: equal }],
      ['by weight', { basis: 'weight' as const, parts: equal }],
    ]),
    densityOf,
  );
  // At a density ratio r, 1 : 1 by volume is r / (1 + r) by weight.
  const clays = [...claysIn('by volume')].map(([clay, cm3]) => ({
    clay,
    g: cm3 * densityOf(clay),
  }));
  const grams = clays.reduce((sum, { g }) => sum + g, 0);
  expect((100 * (clays.find(({ clay }) => clay === 'Kelp')?.g ?? 0)) / grams).toBeCloseTo(55.6, 1);
  expect(claysIn('by weight').get('Kelp')).toBeCloseTo(1 / 2.25, 12);
});
