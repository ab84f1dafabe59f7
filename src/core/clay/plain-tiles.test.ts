import { describe, expect, it } from 'vitest';
import { PAINTS, RICH, randomFrom, tile } from '../../../test/conformance/virtual-studio.ts';
import { fitClays } from './fit.ts';
import { plainTile } from './plain-tiles.ts';
import { shippedPrior } from './shipped-prior.ts';
import type { TileReading } from './tile-reading.ts';

const { white, red, blue } = PAINTS;
const random = randomFrom(3);
const good = RICH.map((mix) => tile(mix, { noise: 0.3, random }));
const plainOf = (readings: readonly TileReading[], name: string) => {
  const fit = fitClays(readings, shippedPrior());
  return plainTile(fit, fit.set.clays.indexOf(name));
};

describe('the plain tile of a clay', () => {
  it('is predicted within what its reading allows, in a studio without mistakes', () => {
    for (const { name } of Object.values(PAINTS)) {
      expect(plainOf(good, name), name).toMatchObject({ within: true });
    }
  });

  it('gets a reason, naming the clay, where its mixes ask for another colour', () => {
    // The plain tile of red was in fact blue; all mixes of red are right.
    const wrong = good.map((reading, i) =>
      RICH[i].length === 1 && RICH[i][0][0] === red
        ? { ...tile([[blue, 1]], { believed: [[red, 1]] }), tile: reading.tile }
        : reading,
    );
    const plain = plainOf(wrong, red.name)!;
    expect(plain.within).toBe(false);
    expect(plain.dE00).toBeGreaterThan(1);
    expect(plain.why).toContain(red.name);
    expect(plain.why).toMatch(/Check/);
  });

  it('gets a reason where two readings of it differ', () => {
    const [first] = good.filter((_, i) => RICH[i].length === 1 && RICH[i][0][0] === red);
    const other = { ...tile([[blue, 1]], { believed: [[red, 1]] }), tile: 'again' };
    expect(plainOf([...good, other], red.name)).toMatchObject({
      within: false,
      why: expect.stringContaining('differ from each other'),
    });
    expect(first).toBeDefined();
  });

  it('is absent where a clay has none', () => {
    const mixes = good.filter((_, i) => RICH[i].length > 1 || RICH[i][0][0] === white);
    expect(plainOf(mixes, red.name)).toBeUndefined();
  });
});
