import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { clayAgainst } from './hint-by-eye.ts';

/** Colours that simply add, in place of clays: what a crumb does can be seen at a glance. */
const COLOURS: readonly Lab[] = [
  [50, 0, 40],
  [95, 0, 2],
  [25, 0, 0],
  [45, 50, 25],
  [45, -45, 20],
];
const colourOf = (parts: WholeParts): Lab => {
  const all = parts.reduce((sum, one) => sum + one.parts, 0);
  const axis = (k: 0 | 1 | 2) =>
    parts.reduce((sum, { clay, parts: n }) => sum + (n / all) * (COLOURS[clay]?.[k] ?? 0), 0);
  return [axis(0), axis(1), axis(2)];
};
const mix = [
  { clay: 0, parts: 5 },
  { clay: 1, parts: 1 },
];

describe('a crumb against how a mix looks', () => {
  it.each([
    ['greener', 3],
    ['redder', 4],
    ['darker', 1],
  ])('a mix that looks %s is led back by clay %i', (looks, clay) => {
    expect(clayAgainst(looks, mix, [0, 1, 2, 3, 4], colourOf)).toBe(clay);
  });

  it('names none where no clay leads back', () => {
    expect(clayAgainst('greener', mix, [1, 4], colourOf)).toBeUndefined();
  });
});
