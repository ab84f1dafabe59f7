import { afterEach, expect, it, vi } from 'vitest';
import { RICH, tile } from '../../../test/conformance/virtual-studio.ts';
import { modelFromFit } from '../../core/clay/clay-model.ts';
import { fitClays } from '../../core/clay/fit.ts';
import { openModel } from '../../core/clay/predict.ts';
import { shippedPrior } from '../../core/clay/shipped-prior.ts';
import { predictViewed } from '../../core/find/predicted-mix.ts';
import { atHand } from './at-hand.ts';

const predictor = openModel(
  modelFromFit(
    fitClays(
      RICH.map((mix) => tile(mix)),
      shippedPrior(),
    ),
  ),
);
const HOUSE = { light: 'D50', observer: 2 } as const;

afterEach(() => vi.restoreAllMocks());

it('predicts clays that came from a worker as the core does where they lie', async () => {
  // A clock that stands still: no machine is too slow by it.
  vi.spyOn(performance, 'now').mockReturnValue(0);
  const moments = vi.fn(async () => {});
  // As a message between a worker and the page carries it.
  const predict = await atHand(structuredClone(predictor), moments);
  const shares = [
    { clay: 0, share: 0.75 },
    { clay: 2, share: 0.25 },
  ];
  const own = predictViewed(predictor, shares, HOUSE);
  const predicted = predict!([
    { clay: 0, parts: 3 },
    { clay: 1, parts: 0 },
    { clay: 2, parts: 1 },
  ]);
  expect(predicted.lab).toEqual(own.lab);
  expect(predicted.covariance).toEqual([...own.covariance]);
  expect(predicted.plusMinus).toBe(own.plusMinus);
  // Never warmed up in one go.
  expect(moments.mock.calls.length).toBeGreaterThan(5);
});

it('leaves predicting to the worker where it would hold the page up', async () => {
  let ms = 0;
  vi.spyOn(performance, 'now').mockImplementation(() => {
    ms += 10;
    return ms;
  });
  expect(await atHand(predictor, async () => {})).toBeUndefined();
});
