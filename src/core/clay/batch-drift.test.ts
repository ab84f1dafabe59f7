import { describe, expect, it } from 'vitest';
import {
  type Mix,
  PAINTS,
  type Paint,
  randomFrom,
  tile,
} from '../../../test/conformance/virtual-studio.ts';
import { batchDrifts } from './batch-drift.ts';
import { fitClays } from './fit.ts';
import { shippedPrior } from './shipped-prior.ts';

const { white, black, red, blue } = PAINTS;

/** The same tiles baked twice, photographed separately; the second time red is of another batch. */
function drifts(seed: number, strength: number) {
  const random = randomFrom(seed);
  const batch: Paint = {
    name: red.name,
    absorption: red.absorption.map((v) => strength * v),
    scattering: red.scattering.map((v) => strength * v),
  };
  const tray = (photo: string, r: Paint) =>
    (
      [
        [[white, 1]],
        [
          [black, 1],
          [white, 15],
        ],
        [
          [blue, 1],
          [white, 3],
        ],
        [
          [blue, 1],
          [white, 9],
        ],
        [[r, 1]],
        [
          [r, 1],
          [white, 3],
        ],
        [
          [r, 1],
          [white, 9],
        ],
        [
          [r, 2],
          [blue, 1],
        ],
      ] as Mix[]
    ).map((mix) => tile(mix, { photo, noise: 0.3, spread: 0.3, partsSpread: 0.02, random }));
  return batchDrifts(fitClays([...tray('tray 1', red), ...tray('tray 2', batch)], shippedPrior()));
}

describe('a clay that changed between batches', () => {
  it('is named with about the right factor, and no other clay is', () => {
    for (const [seed, strength] of [
      [1, 0.7],
      [2, 1.4],
    ]) {
      const found = drifts(seed, strength);
      expect(new Set(found.map((d) => d.clay))).toEqual(new Set([red.name]));
      // With two trays, one being weaker is the other being stronger: the more certain one is
      // named.
      const expected = found[0].photo === 'tray 2' ? strength : 1 / strength;
      expect(Math.abs(Math.log(found[0].factor / expected))).toBeLessThan(0.15);
    }
  });

  it('is not reported where none changed, except in at most one of 20 seeded studios', () => {
    const named = Array.from({ length: 20 }, (_, i) => drifts(100 + i, 1)).filter(
      (d) => d.length > 0,
    );
    expect(named.length).toBeLessThanOrEqual(1);
  });
});
