import { describe, expect, it } from 'vitest';
import { D50, PAINTS, RICH, randomFrom, tile } from '../../../test/conformance/virtual-studio.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { modelFromFit } from './clay-model.ts';
import { onlyFilmsThatShow } from './films-that-show.ts';
import { fitClays } from './fit.ts';
import { openModel, predictMix } from './predict.ts';
import { prepareTiles } from './prepare.ts';
import { LATENTS } from './prior.ts';
import { shippedPrior } from './shipped-prior.ts';
import type { TileReading } from './tile-reading.ts';

const { white, red } = PAINTS;
const thick = (reading: TileReading, thicknessMm: number, backing = 0.8): TileReading => ({
  ...reading,
  film: { thicknessMm, backing },
});

describe('a thickness written beside an opaque tile', () => {
  const random = randomFrom(15);
  const tiles = RICH.map((mix) => tile(mix, { noise: 0.3, random }));
  const predicted = (readings: readonly TileReading[]) => {
    const fit = fitClays(readings, shippedPrior());
    const predictor = openModel(modelFromFit(fit));
    return RICH.map((mix) => {
      const total = mix.reduce((sum, [, parts]) => sum + parts, 0);
      const parts = mix.map(([p, n]) => ({
        clay: fit.set.clays.indexOf(p.name),
        share: n / total,
      }));
      const { lab, covariance: c } = predictMix(predictor, parts, { weights: D50, partsSpread: 0 });
      return { lab, plusMinus: Math.sqrt(c[0] + c[4] + c[8]) };
    });
  };
  const without = predicted(tiles);

  it.each([1, 1.5, 3, 6])('of %s mm moves no prediction', (mm) => {
    const withIt = predicted(tiles.map((reading) => thick(reading, mm)));
    for (const [i, { lab, plusMinus }] of withIt.entries()) {
      expect(deltaE2000(lab, without[i].lab)).toBeLessThan(1);
      expect(plusMinus / without[i].plusMinus).toBeLessThan(1.25);
    }
  });

  it('leaves the type of the clay as it is', () => {
    const classOf = (reading: TileReading) => prepareTiles([reading], LATENTS).classes[0];
    const plain = tile([[white, 1]]);
    expect(classOf(thick(plain, 3))).toBe('white');
    expect(classOf({ ...thick(plain, 0.4), translucent: false })).toBe('white');
    expect(classOf({ ...thick(plain, 3), translucent: true })).toBe('translucent');
  });
});

describe('a film counts', () => {
  const films = (readings: readonly TileReading[]) =>
    onlyFilmsThatShow(readings).map(({ film }) => film !== undefined);

  it('in a thin layer, and in clay declared translucent', () => {
    const plain = tile([[red, 1]]);
    expect(films([thick(plain, 0.9)])).toEqual([true]);
    expect(films([thick(plain, 1)])).toEqual([false]);
    expect(films([{ ...thick(plain, 3), translucent: true }])).toEqual([true]);
  });

  it('where one mix was read on two backings', () => {
    const tint = tile([
      [red, 1],
      [white, 3],
    ]);
    expect(films([thick(tint, 2, 0.8), thick(tint, 2, 0.02), thick(tile([[red, 1]]), 2)])).toEqual([
      true,
      true,
      false,
    ]);
  });
});
