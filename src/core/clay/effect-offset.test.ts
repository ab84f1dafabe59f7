import { describe, expect, it } from 'vitest';
import {
  D50,
  type Mix,
  paint,
  randomFrom,
  tile,
  trueLab,
} from '../../../test/conformance/virtual-studio.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { startSearch } from '../search/search.ts';
import { modelFromFit } from './clay-model.ts';
import { fitClays } from './fit.ts';
import { openModel, predictMix } from './predict.ts';
import { learnReport } from './report.ts';
import { shippedPrior } from './shipped-prior.ts';
import type { TileReading } from './tile-reading.ts';

const white = paint('Titanium White');
const black = paint('Bone Black');
const pearl = paint('Cerulean Blue Chromium');
const other = paint('Pyrrole Red');
/** What the flakes add to the clay alone: invented for this test. */
const SHEEN: Lab = [7, -4, 5];
const shareOf = (mix: Mix) => {
  const total = mix.reduce((sum, [, n]) => sum + n, 0);
  return mix.reduce((sum, [p, n]) => (p === pearl ? sum + n / total : sum), 0);
};
const truth = (mix: Mix): Lab => {
  const share = shareOf(mix);
  const [l, a, b] = trueLab(mix);
  return [l + share * SHEEN[0], a + share * SHEEN[1], b + share * SHEEN[2]];
};
const tiles: Mix[] = [
  [[white, 1]],
  [[black, 1]],
  [
    [black, 1],
    [white, 15],
  ],
  [[other, 1]],
  [
    [other, 1],
    [white, 4],
  ],
  [[pearl, 1]],
  [
    [pearl, 1],
    [white, 3],
  ],
  [
    [pearl, 1],
    [white, 15],
  ],
  [
    [pearl, 8],
    [black, 1],
  ],
  [
    [pearl, 1],
    [other, 1],
  ],
];
const unseen: Mix[] = [
  [
    [pearl, 1],
    [white, 1],
  ],
  [
    [pearl, 3],
    [other, 1],
  ],
  [
    [pearl, 2],
    [other, 1],
    [white, 2],
  ],
];

function learned(withEffect: boolean) {
  const random = randomFrom(4);
  const readings = tiles.map((mix): TileReading => {
    const share = shareOf(mix);
    const shift: Lab = [share * SHEEN[0], share * SHEEN[1], share * SHEEN[2]];
    return {
      ...tile(mix, { shift, noise: 0.3, spread: 0.3, random }),
      ...(withEffect && mix.length === 1 && share === 1 ? { effect: 'pearl' as const } : {}),
    };
  });
  const fit = fitClays(readings, shippedPrior());
  const model = modelFromFit(fit);
  const predictor = openModel(model);
  const partsOf = (mix: Mix) => {
    const total = mix.reduce((sum, [, n]) => sum + n, 0);
    return mix.map(([p, n]) => ({
      clay: model.clays.findIndex((m) => m.name === p.name),
      share: n / total,
    }));
  };
  const predict = (mix: Mix) =>
    predictMix(predictor, partsOf(mix), { weights: D50, geometry: 'included', partsSpread: 0 });
  return { fit, model, predictor, predict };
}

const size = (c: Float64Array) => Math.sqrt(c[0] + c[4] + c[8]);

describe('special clays', () => {
  const plain = learned(false);
  const withEffect = learned(true);

  it('have a departure learned from their tiles, so that unseen mixes come closer', () => {
    const mean = (model: typeof withEffect) =>
      unseen.reduce((sum, mix) => sum + deltaE2000(model.predict(mix).lab, truth(mix)), 0) /
      unseen.length;
    expect(mean(withEffect)).toBeLessThan(0.7 * mean(plain));
    const { effect } = withEffect.model.clays.find((p) => p.name === pearl.name)!;
    expect(effect?.effect).toBe('pearl');
  });

  it('have a wider ±, the wider the more of them is in the mix', () => {
    const little: Mix = [
      [pearl, 1],
      [white, 9],
    ];
    const much: Mix = [
      [pearl, 9],
      [white, 1],
    ];
    // Tiles of a pearl that is not stated miss widely, which widens every ±; that factor is divided out.
    const own = ({ predict, model }: typeof plain, mix: Mix) =>
      size(predict(mix).covariance) / model.missFactor;
    expect(own(withEffect, much)).toBeGreaterThan(1.5 * own(plain, much));
    const extra = (mix: Mix) => own(withEffect, mix) - own(plain, mix);
    expect(extra(much)).toBeGreaterThan(extra(little));
  });

  it('have their errors reported separately', () => {
    const report = learnReport(withEffect.fit);
    const special = report.leaveOneOut.filter((t) => t.special).length;
    expect(special).toBe(tiles.filter((mix) => shareOf(mix) > 0).length);
    expect(learnReport(plain.fit).leaveOneOut.some((t) => t.special)).toBe(false);
  });

  it('are found with the same colour as predicted', () => {
    const aim = truth([
      [pearl, 2],
      [white, 1],
    ]);
    const run = startSearch(withEffect.predictor, {
      aim,
      weights: D50,
      geometry: 'included',
      clays: withEffect.model.clays.map((_, i) => i),
      mostClays: 3,
      parts: 5,
      top: 8,
    });
    while (!run.step(10_000));
    for (const { parts, lab } of run.best()) {
      const total = parts.reduce((sum, p) => sum + p.parts, 0);
      const shares = parts.map((p) => ({ clay: p.clay, share: p.parts / total }));
      const predicted = predictMix(withEffect.predictor, shares, {
        weights: D50,
        geometry: 'included',
        partsSpread: 0,
      });
      for (let k = 0; k < 3; k++) expect(lab[k]).toBeCloseTo(predicted.lab[k], 8);
    }
  });
});
