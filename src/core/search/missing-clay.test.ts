import { describe, expect, it } from 'vitest';
import { D50, randomFrom, STUDIO, tile } from '../../../test/conformance/virtual-studio.ts';
import { modelFromFit } from '../clay/clay-model.ts';
import { fitClays } from '../clay/fit.ts';
import { openModel, type Predictor, predictMix } from '../clay/predict.ts';
import { shippedPrior } from '../clay/shipped-prior.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { type ColourWeights, colourWeights } from '../colour/weights.ts';
import { withChroma, withImagined } from './missing-clay.ts';
import { startSearch } from './search.ts';

const fitted = modelFromFit(
  fitClays(
    STUDIO.map((mix) => tile(mix)),
    shippedPrior(),
  ),
);

describe.each(['included', 'excluded'] as const)('a clay not owned, gloss %s', (geometry) => {
  const predictor = openModel({ ...fitted, geometry });
  const size = fitted.clays.length;

  /** The colour of recipes of a model, as the search works it out. */
  function foundOf(model: Predictor, clays: readonly number[], aim: Lab, weights: ColourWeights) {
    const run = startSearch(model, { aim, weights, clays, mostClays: 3, parts: 8, top: 1 });
    while (!run.step(10_000));
    return run.best()[0];
  }

  it('has the colour asked for, alone, from whatever spectrum it starts', () => {
    const random = randomFrom(42);
    let made = 0;
    for (let run = 0; run < 60; run++) {
      const hue = 2 * Math.PI * random.uniform();
      const chroma = 60 * random.uniform();
      const lab: Lab = [30 + 55 * random.uniform(), chroma * Math.cos(hue), chroma * Math.sin(hue)];
      const weights = colourWeights((['D50', 'A', 'D65'] as const)[run % 3], run % 2 ? 10 : 2);
      const parts = [{ clay: run % size, share: 1 }];
      const { spectrum } = predictMix(predictor, parts, { weights, partsSpread: 0 });
      const imagined = withImagined(predictor, lab, spectrum, weights);
      if (imagined === undefined) continue;
      made++;
      expect(imagined.lab).toBe(lab);
      expect(imagined.predictor.model.clays).toHaveLength(size + 1);
      const { absorption, scattering } = imagined.predictor.coefficients[size];
      expect([...absorption, ...scattering].every((v) => v > 0 && v < 1e4)).toBe(true);
      const alone = foundOf(imagined.predictor, [size], lab, weights);
      expect(deltaE2000(alone.lab, lab)).toBeLessThan(1e-3);
    }
    // Half of what is drawn is stronger than any surface can be.
    expect(made).toBeGreaterThan(25);
  });

  it('can be as strong as a real red or yellow paint', () => {
    const grey = new Float64Array(36).fill(0.4);
    for (const lab of [
      [87.3, 6.5, 94.4],
      [48, 62.4, 35.4],
    ] as const) {
      expect(withImagined(predictor, lab, grey, D50)).toBeDefined();
    }
  });

  it("leaves the user's own clays unchanged", () => {
    const { spectrum } = predictMix(predictor, [{ clay: 0, share: 1 }], {
      weights: D50,
      partsSpread: 0,
    });
    const imagined = withImagined(predictor, [60, -20, 20], spectrum, D50);
    if (imagined === undefined) throw new Error('no such clay was imagined');
    const owned = fitted.clays.map((_, i) => i);
    const aim: Lab = [50, 10, 20];
    expect(foundOf(imagined.predictor, owned, aim, D50)).toEqual(
      foundOf(predictor, owned, aim, D50),
    );
  });

  it('is undefined where no surface has such a colour', () => {
    const grey = new Float64Array(36).fill(0.3);
    for (const lab of [
      [99.9, 0, 0],
      [1, 0, 0],
      [50, 150, 0],
      [95, -60, 40],
      [20, 0, 80],
    ] as const) {
      expect(withImagined(predictor, lab, grey, D50)).toBeUndefined();
    }
  });
});

describe('another chroma', () => {
  it('keeps lightness and hue', () => {
    const [l, c, h] = lchFromLab(withChroma([60, -20, 20], 55));
    expect(l).toBeCloseTo(60, 12);
    expect(c).toBeCloseTo(55, 12);
    expect(h).toBeCloseTo(135, 9);
  });
});
