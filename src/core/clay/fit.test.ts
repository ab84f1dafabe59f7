import { describe, expect, it } from 'vitest';
import {
  D50,
  type Mix,
  mean,
  PAINTS,
  predict,
  RICH,
  randomFrom,
  STUDIO,
  tile,
  trueLab,
  UNSEEN,
} from '../../../test/conformance/virtual-studio.ts';
import { readPigments } from '../../../tools/pigments.ts';
import { deltaE2000 } from '../colour/difference.ts';
import { AppError } from '../errors.ts';
import { modelFromFit } from './clay-model.ts';
import { fitClays } from './fit.ts';
import type { Fit } from './fit-result.ts';
import { FIT_SETTINGS } from './fit-settings.ts';
import { openModel, predictMix } from './predict.ts';
import { priorFromPigments } from './prior-from-pigments.ts';
import { learnReport } from './report.ts';
import { shippedPrior } from './shipped-prior.ts';
import type { TileReading } from './tile-reading.ts';

// All truths here are real paints mixed by the plain formulas of test/conformance/virtual-studio.ts.
const PRIOR = shippedPrior();
const { white, black, red, blue, yellow } = PAINTS;

const learn = (readings: readonly TileReading[]) => fitClays(readings, PRIOR);
const errors = (fit: Fit, mixes: readonly Mix[] = UNSEEN) => predict(fit, mixes).map((f) => f.dE00);
const fromLab = learn(STUDIO.map((mix) => tile(mix)));
const fromSpectra = learn(STUDIO.map((mix) => tile(mix, { kind: 'spectrum' })));

describe('clays learned from tiles', () => {
  // Measured when written: from Lab mean 0.29, worst 1.08; from spectra 0.12 and 0.46.
  it.each([
    ['Lab', fromLab, 0.4, 1.3],
    ['spectra', fromSpectra, 0.2, 0.7],
  ] as const)('predict mixes never baked, from %s without noise', (_, fit, most, worst) => {
    expect(fit.converged).toBe(true);
    expect(mean(errors(fit))).toBeLessThan(most);
    expect(Math.max(...errors(fit))).toBeLessThan(worst);
    expect(mean(errors(fit, STUDIO))).toBeLessThan(0.15);
  });

  it('predict them as well where the paints are not in the prior', () => {
    const stranger = /white|black|pyrrole|naphthol|cobalt|diarylide/i;
    const pigments = readPigments();
    const others = pigments.filter((p) => !stranger.test(p.name) || /white|black/i.test(p.name));
    expect(pigments.length - others.length).toBeGreaterThanOrEqual(7);
    const prior = priorFromPigments(others);
    const fit = fitClays(
      STUDIO.map((mix) => tile(mix, { kind: 'spectrum' })),
      prior,
    );
    expect(mean(errors(fit))).toBeLessThan(0.4);
  });

  it('are the same clays whether Lab, spectra or both were read', () => {
    const both = learn(STUDIO.flatMap((mix) => [tile(mix), tile(mix, { kind: 'spectrum' })]));
    const labs = [fromLab, fromSpectra, both].map((fit) => predict(fit, UNSEEN).map((f) => f.lab));
    for (const [a, b] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ]) {
      const apart = labs[a].map((lab, i) => deltaE2000(lab, labs[b][i]));
      expect(mean(apart)).toBeLessThan(0.45);
      expect(Math.max(...apart)).toBeLessThan(1.3);
    }
  });

  it('ignore bands that were not measured', () => {
    const readings = (garbage: number) =>
      STUDIO.map((mix) => {
        const reading = tile(mix, { kind: 'spectrum' });
        if (reading.colour.kind !== 'spectrum') throw new Error('not a spectrum');
        const { values, observed } = reading.colour;
        // 400-700 nm: bands 2 to 32.
        const inside = (band: number) => band >= 2 && band <= 32;
        return {
          ...reading,
          colour: {
            kind: 'spectrum' as const,
            values: values.map((v, band) => (inside(band) ? v : garbage)),
            observed: observed.map((_, band) => (inside(band) ? 1 : 0)),
          },
        };
      });
    const [quiet, loud] = [0, 0.77].map((garbage) => learn(readings(garbage)));
    expect(quiet.unknowns).toEqual(loud.unknowns);
    expect(learn(readings(Number.NaN)).unknowns).toEqual(quiet.unknowns);
    expect(mean(errors(quiet))).toBeLessThan(0.3);
  });

  it('are the same every time and whatever order the tiles come in', () => {
    const random = randomFrom(11);
    const readings = RICH.map((mix, i) =>
      tile(mix, { noise: 0.5, random, ...(i % 4 === 0 ? { photo: `tray ${i % 8}` } : {}) }),
    );
    // A second tile of one combination in which another clay is the largest part.
    readings.push(
      tile(
        [
          [blue, 1],
          [red, 4],
          [white, 1],
        ],
        { noise: 0.5, random },
      ),
    );
    const first = learn(readings);
    expect(learn(readings).unknowns).toEqual(first.unknowns);
    const expected = predict(first, UNSEEN);
    for (let round = 0; round < 3; round++) {
      const shuffled = [...readings];
      for (let i = shuffled.length - 1; i > 0; i--) {
        const j = random.whole(0, i);
        [shuffled[i], shuffled[j]] = [shuffled[j], shuffled[i]];
      }
      predict(learn(shuffled), UNSEEN).forEach(({ lab, expected: size }, i) => {
        lab.forEach((v, axis) => {
          expect(Math.abs(v - expected[i].lab[axis])).toBeLessThan(1e-6);
        });
        expect(Math.abs(size - expected[i].expected)).toBeLessThan(1e-6);
      });
    }
  });

  it('leave a shift that one photo shares to the photo', () => {
    const shifted = (photo: boolean) =>
      learn(
        RICH.map((mix, i) =>
          tile(mix, i % 3 === 0 ? { shift: [1.5, 0, 0], ...(photo ? { photo: 'tray' } : {}) } : {}),
        ),
      );
    const lightnessOff = (fit: Fit) =>
      Math.abs(mean(predict(fit, UNSEEN).map((f) => f.lab[0] - f.truth[0])));
    const withPhoto = shifted(true);
    const [l, a, b] = withPhoto.unknowns[withPhoto.set.photoBlocks[0].block];
    // Measured 1.50: the shift itself.
    expect(Math.abs(l - 1.5)).toBeLessThan(0.1);
    expect(Math.hypot(a, b)).toBeLessThan(0.3);
    expect(lightnessOff(withPhoto)).toBeLessThan(0.5 * lightnessOff(shifted(false)));
  });
});

describe('how the learning ended', () => {
  it('says so when the rounds ran out', () => {
    const random = randomFrom(5);
    const readings = STUDIO.map((mix) => tile(mix, { noise: 0.5, random }));
    // The stages with added noise come close before the rounds are counted, hence the tolerance.
    const short = fitClays(readings, PRIOR, { ...FIT_SETTINGS, maxIterations: 1, tolerance: 1e-7 });
    expect(short.converged).toBe(false);
    expect(short.lastMove).toBeGreaterThan(1e-7);
    expect(modelFromFit(short).clays).toHaveLength(5);
    const long = fitClays(readings, PRIOR);
    expect(long.converged).toBe(true);
    expect(long.lastMove).toBeLessThan(FIT_SETTINGS.tolerance);
    expect(long.iterations).toBeGreaterThan(short.iterations);
  });
});

describe('scant and odd sets', () => {
  const dark = (lab: readonly [number, number, number]): TileReading => ({
    ...tile([[black, 1]], { name: 'odd' }),
    colour: { kind: 'lab', lab, light: 'D50', observer: 2 },
  });
  const scant: Record<string, TileReading[]> = {
    'white alone': [tile([[white, 1]])],
    'one masstone': [tile([[red, 1]])],
    'one tint': [
      tile([
        [red, 1],
        [white, 20],
      ]),
    ],
    'one mix': [
      tile([
        [red, 1],
        [blue, 1],
        [yellow, 1],
      ]),
    ],
    'one tile four times': [1, 2, 3, 4].map((i) => tile([[red, 1]], { name: `red ${i}` })),
    'two readings of one tile that disagree': [
      tile([[red, 1]]),
      tile([[red, 1]], { shift: [15, 0, 0] }),
    ],
    'a black darker than its own gloss': [
      dark([0, 0, 0]),
      tile([[white, 1]]),
      tile([
        [black, 1],
        [white, 9],
      ]),
    ],
    'a tile whiter than white': [dark([104, 0, 0])],
    'a colour no clay has': [dark([60, -90, 110])],
    'blacks alone': [tile([[black, 1]]), tile([[black, 1]], { geometry: 'excluded' })],
    'spectrum at its ends': [0, 1].map((value) => ({
      ...tile([[value === 0 ? black : white, 1]]),
      colour: {
        kind: 'spectrum',
        values: new Float64Array(36).fill(value),
        observed: new Uint8Array(36).fill(1),
      },
    })),
    'a film alone': [tile([[blue, 1]], { film: { thicknessMm: 0.1, backing: 0.8 } })],
  };

  it.each(Object.keys(scant))('%s: every answer is a number', (name) => {
    const fit = learn(scant[name]);
    const model = modelFromFit(fit);
    for (const block of fit.unknowns) expect(block.every(Number.isFinite)).toBe(true);
    const predictor = openModel(model);
    const all = model.clays.map((_, clay) => ({ clay, share: 1 / model.clays.length }));
    for (const parts of [[{ clay: 0, share: 1 }], all]) {
      const options = { weights: D50, partsSpread: 0.03 };
      const { lab, covariance, spectrum } = predictMix(predictor, parts, options);
      expect([...lab, ...covariance, ...spectrum].every(Number.isFinite)).toBe(true);
      for (const axis of [0, 4, 8]) expect(covariance[axis]).toBeGreaterThan(0);
    }
    const report = learnReport(fit);
    for (const { dE00, expected } of report.leaveOneOut) {
      expect(Number.isFinite(dE00)).toBe(true);
      expect(expected).toBeGreaterThan(0);
    }
    for (const { expectedDE } of report.clays) expect(Number.isFinite(expectedDE)).toBe(true);
  });

  it('one tile four times is that tile, with more certainty', () => {
    const mix: Mix = [[red, 1]];
    const once = predict(learn(scant['one masstone']), [mix])[0];
    const often = predict(learn(scant['one tile four times']), [mix])[0];
    expect(deltaE2000(often.lab, trueLab(mix))).toBeLessThanOrEqual(
      deltaE2000(once.lab, trueLab(mix)) + 0.05,
    );
    expect(often.expected).toBeLessThan(0.7 * once.expected);
  });

  it('refuses an empty set', () => {
    expect(() => learn([])).toThrow(AppError);
  });
});
