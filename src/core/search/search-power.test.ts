import { describe, expect, it } from 'vitest';
import {
  D50,
  type Mix,
  PAINTS,
  randomFrom,
  tile,
} from '../../../test/conformance/virtual-studio.ts';
import { modelFromFit } from '../clay/clay-model.ts';
import { fitClays } from '../clay/fit.ts';
import { openModel, type Predictor, predictMix } from '../clay/predict.ts';
import { shippedPrior } from '../clay/shipped-prior.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { commonDivisor } from '../numeric/common-divisor.ts';
import { chordRatio } from './composition-tree.ts';
import { startSearch } from './search.ts';
import { startExhaustiveSearch } from './search-exhaustive.ts';
import { ALL_IDEAS } from './search-ideas.ts';
import type { SearchOptions } from './search-options.ts';

const { white, black, red, blue, yellow } = PAINTS;
const OPENED = openModel(
  modelFromFit(
    fitClays(
      [white, black, red, blue, yellow].flatMap((paint) => {
        const tint: Mix = [
          [paint, 1],
          [white, 4],
        ];
        return paint === white ? [tile([[white, 1]])] : [tile([[paint, 1]]), tile(tint)];
      }),
      shippedPrior(),
    ),
  ),
);

/** The model with another exponent of shares, and a last clay that counts as a concentrate or not. */
function bent(shareExponent: number, concentrate: boolean): Predictor {
  const { model } = OPENED;
  return {
    coefficients: OPENED.coefficients,
    model: {
      ...model,
      combinations: [],
      physics: { ...model.physics, dilution: 0.04, shareExponent },
      clays: model.clays.map((clay, i) =>
        i === model.clays.length - 1
          ? { ...clay, clayClass: concentrate ? 'concentrate' : 'opaque' }
          : clay,
      ),
    },
  };
}

/** Errors of the ten best recipes, each recipe predicted by itself. */
function oneByOne(predictor: Predictor, options: SearchOptions): number[] {
  const { clays, mostClays, parts, aim, weights, amounts } = options;
  const errors: number[] = [];
  const counts = clays.map(() => 0);
  const visit = (at: number, left: number, used: number) => {
    if (at < clays.length) {
      for (let n = 0; n <= (used < mostClays ? left : 0); n++) {
        counts[at] = n;
        visit(at + 1, left - n, used + Number(n > 0));
      }
      counts[at] = 0;
      return;
    }
    if (used === 0 || counts.reduce(commonDivisor, 0) > 1) return;
    const held = counts.map((n, i) => n * (amounts?.[clays[i]] ?? 1));
    const total = held.reduce((sum, v) => sum + v, 0);
    const mix = clays.map((clay, i) => ({ clay, share: held[i] / total }));
    const { lab } = predictMix(
      predictor,
      mix.filter(({ share }) => share > 0),
      { weights, geometry: 'included', partsSpread: 0 },
    );
    errors.push(deltaE2000(aim, lab));
  };
  visit(0, parts, 0);
  return errors.sort((a, b) => a - b).slice(0, 10);
}

const CLAYS = OPENED.model.clays.map((_, i) => i);
const searches = [
  ['bounded', (p: Predictor, o: SearchOptions) => startSearch(p, o)],
  [
    'bounded in 64 bit',
    (p: Predictor, o: SearchOptions) => startSearch(p, o, { ...ALL_IDEAS, kernel: false }),
  ],
  ['through every recipe', startExhaustiveSearch],
] as const;

describe.each([-0.15, 0.15, 0.35])(
  'a search where shares count to the power 1 + %f',
  (exponent) => {
    it.each([
      ['clays alone', false, undefined],
      ['a concentrate among them', true, undefined],
      ['parts that hold unlike amounts', false, [1, 1.3, 0.8, 1, 1.6]],
      ['both', true, [1, 1.3, 0.8, 1, 1.6]],
    ] as const)('finds the ten best, with %s', (_, concentrate, amounts) => {
      const predictor = bent(exponent, concentrate);
      const random = randomFrom(11);
      for (let n = 0; n < 4; n++) {
        const aim: Lab = [
          25 + 60 * random.uniform(),
          60 * random.uniform() - 20,
          70 * random.uniform() - 30,
        ];
        const options: SearchOptions = {
          aim,
          weights: D50,
          geometry: 'included',
          clays: CLAYS,
          mostClays: 3,
          parts: 8,
          top: 10,
          ...(amounts === undefined ? {} : { amounts }),
        };
        const expected = oneByOne(predictor, options);
        for (const [name, start] of searches) {
          const run = start(predictor, options);
          while (!run.step(1e6));
          run.best().forEach(({ dE00 }, i) => {
            expect(Math.abs(dE00 - expected[i]), `${name}, aim ${aim}, place ${i}`).toBeLessThan(
              1e-8,
            );
          });
        }
      }
    });
  },
);

describe('how far a power lies from its chord', () => {
  it('is as far as anywhere between the ends', () => {
    for (const power of [0.7, 0.9, 1.1, 1.4]) {
      for (const r of [1.01, 1.5, 4, 30]) {
        let worst = 1;
        for (let i = 0; i <= 2000; i++) {
          const x = 1 + ((r - 1) * i) / 2000;
          const chord = 1 + ((r ** power - 1) * (x - 1)) / (r - 1);
          const ratio = x ** power / chord;
          worst = Math.min(worst, ratio, 1 / ratio);
        }
        expect(chordRatio(r, power)).toBeLessThanOrEqual(worst + 1e-12);
        expect(chordRatio(r, power)).toBeGreaterThan(worst - 1e-5);
      }
    }
    expect(chordRatio(3, 1)).toBe(1);
  });
});
