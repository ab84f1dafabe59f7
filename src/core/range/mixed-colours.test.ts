import { expect, it } from 'vitest';
import { RICH, randomFrom, tile } from '../../../test/conformance/virtual-studio.ts';
import { modelFromFit } from '../clay/clay-model.ts';
import { fitClays } from '../clay/fit.ts';
import { openModel } from '../clay/predict.ts';
import { shippedPrior } from '../clay/shipped-prior.ts';
import { closestOf } from '../colour/edge.ts';
import { predictViewed } from '../find/predicted-mix.ts';
import { VERDICT_LIMITS } from '../verdict/verdict.ts';
import { coloursOfMixes } from './mixed-colours.ts';

const HOUSE = { light: 'D50', observer: 2 } as const;
const MATCH = VERDICT_LIMITS.find(([word]) => word === 'match')![1];

it('reaches, with few clays, all that whole parts of three of them can be', () => {
  const predictor = openModel(
    modelFromFit(
      fitClays(
        RICH.map((mix) => tile(mix)),
        shippedPrior(),
      ),
    ),
  );
  const clays = predictor.model.clays.map((_, i) => i);
  const points = coloursOfMixes(predictor, clays);
  const random = randomFrom(37);
  let worst = 0;
  for (let i = 0; i < 300; i++) {
    const [one, other, third] = clays
      .map((clay) => ({ clay, order: random.uniform() }))
      .sort((a, b) => a.order - b.order);
    const parts = [0, 0, 0].map(() => random.whole(1, 4));
    const whole = parts[0] + parts[1] + parts[2];
    const shares = [one, other, third].map(({ clay }, k) => ({
      clay,
      share: parts[k] / whole,
    }));
    worst = Math.max(worst, closestOf(points, predictViewed(predictor, shares, HOUSE).lab)!.dE00);
  }
  expect(worst).toBeLessThanOrEqual(MATCH);
});
