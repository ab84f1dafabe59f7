import { describe, expect, it } from 'vitest';
import { adviceFor, HOW_TO_READ, meansOf } from './advice.ts';

describe('advice on the next tile', () => {
  const clay = { tiles: 1, ownTiles: 1, knownFrom: 'by eye', plusMinus: 5 } as const;

  it('asks for no instrument of somebody who never measured', () => {
    const means = meansOf([{ readings: { 'by eye': 9 } }, { readings: { claimed: 3, rough: 1 } }]);
    expect(means).toBe('by eye');
    for (const known of [
      clay,
      { ...clay, ownTiles: 0 },
      { ...clay, tiles: 5 },
      { ...clay, knownFrom: 'claimed' as const },
    ]) {
      const advice = adviceFor(known, means);
      expect(advice).not.toMatch(/instrument|measure|chart/i);
      expect(advice).toContain(HOW_TO_READ['by eye']);
    }
  });

  it('goes by the surest way the user reads, and never by what others measured', () => {
    expect(meansOf([{ readings: { rough: 4 } }, { readings: { measured: 1 } }])).toBe('measured');
    expect(meansOf([{ readings: { rough: 4, borrowed: 2 } }])).toBe('rough');
    expect(meansOf([{ readings: { claimed: 2 } }])).toBe('by eye');
  });

  it('names the tile: plain first, then tints, then strong mixes', () => {
    const by = (known: Partial<typeof clay> & object) =>
      adviceFor({ ...clay, ...known }, 'by eye').split('.')[0];
    expect(adviceFor({ ...clay, ownTiles: 0 }, 'by eye')).toContain('bake a plain tile');
    expect(by({})).toContain('1 part + 9 parts white');
    expect(adviceFor({ ...clay, tiles: 3 }, 'by eye')).toContain('a lot of this clay');
    expect(adviceFor({ ...clay, plusMinus: 0.5 }, 'by eye')).toBe('No more tiles needed.');
  });
});
