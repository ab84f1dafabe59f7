import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { smallestPinch } from './pinch.ts';

/** Colours that add in proportion, so that the right pinch is known. */
const CLAYS: readonly Lab[] = [
  [60, 0, 0],
  [60, 30, 0],
  [20, 0, 0],
  [60, 0, 40],
];
const colourOf = (parts: WholeParts): Lab => {
  const all = parts.reduce((sum, one) => sum + one.parts, 0);
  const axis = (k: 0 | 1 | 2) =>
    parts.reduce((sum, one) => sum + (CLAYS[one.clay][k] * one.parts) / all, 0);
  return [axis(0), axis(1), axis(2)];
};

describe('smallestPinch', () => {
  it('names the clay and the amount that give the colour', () => {
    const wanted = colourOf([
      { clay: 0, parts: 5 },
      { clay: 3, parts: 1 },
    ]);
    const pinch = smallestPinch(0, [1, 2, 3], colourOf, wanted, 0.1);
    expect(pinch?.parts).toEqual([
      { clay: 0, parts: 5 },
      { clay: 3, parts: 1 },
    ]);
    expect(pinch?.dE00).toBeLessThan(1e-9);
  });

  it('takes the smallest of those that are close enough', () => {
    const wanted: Lab = [55, 0, 0];
    const exact = smallestPinch(0, [1, 2, 3], colourOf, wanted, 0.05);
    const enough = smallestPinch(0, [1, 2, 3], colourOf, wanted, 1.8);
    expect(exact?.parts[1].clay).toBe(2);
    expect(enough!.parts[0].parts).toBeGreaterThan(exact!.parts[0].parts);
    expect(enough!.dE00).toBeLessThanOrEqual(1.8);
  });

  it('says that nothing helps where nothing does', () => {
    expect(smallestPinch(0, [1, 2, 3], colourOf, [60, 0, 0], 1.8)).toBeUndefined();
    expect(smallestPinch(0, [], colourOf, [80, 0, 0], 1.8)).toBeUndefined();
  });
});
