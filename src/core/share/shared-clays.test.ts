import { beforeAll, describe, expect, it } from 'vitest';
import { demoClay } from '../../../test/conformance/demo-clay.ts';
import type { OpenClay } from '../../verbs/open-clay.ts';
import { type ClayShare, sharesOfParts } from '../clay/mixture.ts';
import { openModel, type Predictor, predictMix } from '../clay/predict.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { colourWeights } from '../colour/weights.ts';
import { plusMinusOf } from '../verdict/verdict.ts';
import { labWithGloss } from './gloss.ts';
import { modelOfShared } from './model-of-shared.ts';
import { sharedClays } from './shared-clays.ts';

const options = { weights: colourWeights('D50', 2), partsSpread: 0.03 };
/** A person sees no smaller difference than 0.8; this is a fortieth of it. */
const COLOUR = 0.02;

let clay: OpenClay;
beforeAll(async () => {
  clay = await demoClay();
});

const predicted = (predictor: Predictor, mix: readonly ClayShare[]) => {
  const { lab, covariance } = predictMix(predictor, mix, options);
  return { lab, plusMinus: plusMinusOf(lab, covariance) };
};

/** Pairs and triples of all clays in several ratios. */
function mixesOf(count: number): ClayShare[][] {
  const mixes: ClayShare[][] = [];
  for (let one = 0; one < count; one++) {
    mixes.push([{ clay: one, share: 1 }]);
    for (let other = 0; other < count; other++) {
      if (one === other) continue;
      const third = (one + other + 1) % count;
      mixes.push(
        sharesOfParts([
          { clay: one, parts: 3 },
          { clay: other, parts: 1 },
        ]),
      );
      if (third === one || third === other) continue;
      mixes.push(
        sharesOfParts([
          { clay: one, parts: 4 },
          { clay: other, parts: 2 },
          { clay: third, parts: 1 },
        ]),
      );
    }
  }
  return mixes;
}

describe('clays without their tiles', () => {
  it('predict the same colours, with a ± within 15 %', () => {
    const own = clay.predictor;
    const count = own.model.clays.length;
    const all = own.model.clays.map((_, i) => i);
    const shared = openModel(modelOfShared(sharedClays(own, all)));
    const ratios = mixesOf(count).map((mix) => {
      const mine = predicted(own, mix);
      const theirs = predicted(shared, mix);
      expect(deltaE2000(mine.lab, theirs.lab)).toBeLessThan(COLOUR);
      return theirs.plusMinus / mine.plusMinus;
    });
    const sorted = ratios.toSorted((a, b) => a - b);
    const at = (share: number) => sorted[Math.floor(share * (sorted.length - 1))];
    expect(at(0.05)).toBeGreaterThan(0.85);
    expect(at(0.95)).toBeLessThan(1.15);
  });

  it('keep only what is asked for', () => {
    const shared = sharedClays(clay.predictor, [2, 0]);
    expect(shared.clays.map(({ name }) => name)).toEqual([clay.names[2], clay.names[0]]);
    for (const { clays } of shared.combinations) expect(Math.max(...clays)).toBeLessThan(2);
  });
});

describe('a colour with another share of the gloss', () => {
  it('goes there and back', () => {
    const lab = [41, -24, 18] as const;
    const back = labWithGloss(labWithGloss(lab, 'excluded', 'included'), 'included', 'excluded');
    for (const [i, v] of back.entries()) expect(v).toBeCloseTo(lab[i], 9);
  });

  it('is that of a spectrum with the gloss added', () => {
    const own = clay.predictor;
    const mix = [{ clay: 0, share: 1 }];
    const without = predictMix(own, mix, { ...options, geometry: 'excluded' }).lab;
    const withGloss = predictMix(own, mix, { ...options, geometry: 'included' }).lab;
    expect(deltaE2000(labWithGloss(without, 'excluded', 'included'), withGloss)).toBeLessThan(1e-6);
  });
});
