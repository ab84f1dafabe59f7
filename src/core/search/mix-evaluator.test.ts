import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PAINTS, trueSpectrum } from '../../../test/conformance/virtual-studio.ts';
import { BANDS } from '../colour/grid.ts';
import { labFromSpectrum } from '../colour/spaces.ts';
import { colourWeights, LIGHT_NAMES } from '../colour/weights.ts';
import { mixEvaluator } from './mix-evaluator.ts';

const { white, black, red, blue, yellow } = PAINTS;

describe('mix evaluator', () => {
  it('gives the colour of the textbook formulas, for any counts, light, observer and gloss', () => {
    fc.assert(
      fc.property(
        fc
          .array(fc.integer({ min: 0, max: 40 }), { minLength: 5, maxLength: 5 })
          .filter((c) => c.some((n) => n > 0)),
        fc.constantFrom(...LIGHT_NAMES),
        fc.constantFrom(2 as const, 10 as const),
        fc.constantFrom('included' as const, 'excluded' as const),
        (counts, light, observer, geometry) => {
          const weights = colourWeights(light, observer);
          const whites = new Float64Array(BANDS);
          const colours = new Float64Array(BANDS);
          const scattering = new Float64Array(BANDS);
          [white, black, red, blue, yellow].forEach((p, i) => {
            for (let band = 0; band < BANDS; band++) {
              (p === white ? whites : colours)[band] += counts[i] * p.absorption[band];
              scattering[band] += counts[i] * p.scattering[band];
            }
          });
          const out = new Float64Array(3);
          mixEvaluator(weights, geometry).labInto(out, whites, colours, scattering, 1);
          const mix = [white, black, red, blue, yellow].map((p, i) => [p, counts[i]] as const);
          labFromSpectrum(trueSpectrum(mix, { geometry }), weights).forEach((v, axis) => {
            expect(Math.abs(v - out[axis])).toBeLessThan(1e-9);
          });
        },
      ),
      { seed: 6174, numRuns: 200 },
    );
  });

  it('counts only colour by its factor, and only the ratio of K to S', () => {
    const weights = colourWeights('D50', 2);
    const evaluator = mixEvaluator(weights, 'excluded');
    const lab = (
      whites: Float64Array,
      colours: Float64Array,
      scattering: Float64Array,
      factor: number,
    ) => {
      const out = new Float64Array(3);
      evaluator.labInto(out, whites, colours, scattering, factor);
      return [...out];
    };
    const by = (factor: number, curve: Float64Array) => curve.map((v) => v * factor);
    const plain = lab(white.absorption, red.absorption, white.scattering, 0.5);
    const halved = lab(white.absorption, by(0.5, red.absorption), white.scattering, 1);
    const scaled = lab(
      by(7, white.absorption),
      by(7, red.absorption),
      by(7, white.scattering),
      0.5,
    );
    plain.forEach((v, i) => {
      expect(halved[i]).toBeCloseTo(v, 10);
      expect(scaled[i]).toBeCloseTo(v, 10);
    });
  });
});
