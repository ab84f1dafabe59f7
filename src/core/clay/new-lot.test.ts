import { describe, expect, it } from 'vitest';
import { D50, RICH, tile } from '../../../test/conformance/virtual-studio.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { modelFromFit } from './clay-model.ts';
import { fitClays } from './fit.ts';
import { withNewLot } from './new-lot.ts';
import { openModel, predictMix } from './predict.ts';
import { shippedPrior } from './shipped-prior.ts';

const learned = openModel(
  modelFromFit(
    fitClays(
      RICH.map((mix) => tile(mix)),
      shippedPrior(),
    ),
  ),
);
const lot = learned.model.clays.length;
const OPTIONS = { weights: D50, partsSpread: 0 } as const;
const alone = (clay: number) => [{ clay, share: 1 }];
const half = (one: number, other: number) => [
  { clay: one, share: 0.5 },
  { clay: other, share: 0.5 },
];
const size = (covariance: Float64Array) => Math.sqrt(covariance[0] + covariance[4] + covariance[8]);
const movedBy = (clay: number, by: Lab, variance = 0.25) => {
  const { lab } = predictMix(learned, alone(clay), OPTIONS);
  const read: Lab = [lab[0] + by[0], lab[1] + by[1], lab[2] + by[2]];
  return { read, predictor: withNewLot(learned, clay, { lab: read, variance, weights: D50 }) };
};

describe('a new lot of a clay', () => {
  it.each(learned.model.clays.map(({ name }, clay) => ({ name, clay })))(
    'has the colour that was read: $name',
    ({ clay }) => {
      const { read, predictor } = movedBy(clay, [-2, 1.5, -1.5]);
      const { lab, covariance } = predictMix(predictor, alone(lot), OPTIONS);
      expect(deltaE2000(lab, read)).toBeLessThan(0.5);
      expect(size(covariance)).toBeLessThan(2.5);
    },
  );

  it('leaves every prediction of the old lot as it was', () => {
    const { predictor } = movedBy(1, [4, -3, 2]);
    for (const parts of [alone(1), half(1, 0), half(2, 0)]) {
      const was = predictMix(learned, parts, OPTIONS);
      const is = predictMix(predictor, parts, OPTIONS);
      expect(is.lab).toEqual(was.lab);
      for (let i = 0; i < 9; i++) expect(is.covariance[i]).toBeCloseTo(was.covariance[i], 9);
    }
  });

  it('moves its mixes the same way, and leaves them where it looks like the old one', () => {
    const was = predictMix(learned, half(1, 0), OPTIONS);
    const same = predictMix(movedBy(1, [0, 0, 0]).predictor, half(lot, 0), OPTIONS);
    expect(deltaE2000(same.lab, was.lab)).toBeLessThan(0.05);
    const darker = predictMix(movedBy(1, [-5, 0, 0]).predictor, half(lot, 0), OPTIONS);
    expect(darker.lab[0]).toBeLessThan(was.lab[0] - 0.5);
  });

  it('is the less certain in mixes the more it differs', () => {
    const of = (by: number) =>
      size(predictMix(movedBy(1, [-by, 0, 0]).predictor, half(lot, 0), OPTIONS).covariance);
    expect(of(0.5)).toBeLessThan(of(8));
    expect(size(predictMix(learned, half(1, 0), OPTIONS).covariance)).toBeLessThanOrEqual(of(8));
  });
});
