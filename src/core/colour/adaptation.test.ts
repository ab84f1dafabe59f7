import { describe, expect, it } from 'vitest';
import { numbers, oracle, spectrumOf } from '../../../test/oracles/colour/read-oracle.ts';
import { adaptXyz, labUnder } from './adaptation.ts';
import { deltaE2000 } from './difference.ts';
import { labFromSpectrum } from './spaces.ts';
import type { Xyz } from './triples.ts';
import { colourWeights, LIGHT_NAMES, OBSERVER_DEGS } from './weights.ts';

const whiteOf = (x: number, y: number): Xyz => [x / y, 1, (1 - x - y) / y];
/** The whites of CSS Color 4. */
const CSS_D65 = whiteOf(0.3127, 0.329);
const CSS_D50 = whiteOf(0.3457, 0.3585);

describe('adaptXyz', () => {
  // colorjs.io 0.7.1 and culori 4.0.2 (Bradford), 8 digits.
  it('matches 181 conversions from D65 to D50, and back', () => {
    for (const row of oracle('srgb-conversions.csv')) {
      const [x65, y65, z65] = numbers(row, 'X_D65', 'Y_D65', 'Z_D65');
      const [x50, y50, z50] = numbers(row, 'X_D50', 'Y_D50', 'Z_D50');
      const there = adaptXyz([x65, y65, z65], CSS_D65, CSS_D50);
      const back = adaptXyz([x50, y50, z50], CSS_D50, CSS_D65);
      for (let k = 0; k < 3; k++) {
        expect(Math.abs(there[k] - [x50, y50, z50][k])).toBeLessThan(1e-7);
        expect(Math.abs(back[k] - [x65, y65, z65][k])).toBeLessThan(1e-7);
      }
    }
  });

  it('takes white to white', () => {
    const from = colourWeights('A', 10).white;
    const to = colourWeights('D50', 2).white;
    adaptXyz(from, from, to).forEach((v, k) => {
      expect(v).toBeCloseTo(to[k], 13);
    });
  });
});

describe('labUnder', () => {
  it('leaves a colour unchanged under its own light, and comes back', () => {
    const here = { light: 'D65', observer: 10 } as const;
    const there = { light: 'D50', observer: 2 } as const;
    expect(labUnder([40, 20, -30], here, here)).toEqual([40, 20, -30]);
    const back = labUnder(labUnder([40, 20, -30], here, there), there, here);
    [40, 20, -30].forEach((v, k) => {
      expect(back[k]).toBeCloseTo(v, 10);
    });
  });

  // Against the spectra of the chart (average of 30): how far the approximation may be trusted.
  it('comes within 6.2 of what the spectrum says, and within 1.4 from D65', () => {
    const to = { light: 'D50', observer: 2 } as const;
    for (const light of LIGHT_NAMES)
      for (const observer of OBSERVER_DEGS) {
        const misses = oracle('spectra-average30.csv').map((row) => {
          const spectrum = Float64Array.from(spectrumOf(row).values);
          const given = labFromSpectrum(spectrum, colourWeights(light, observer));
          const truth = labFromSpectrum(spectrum, colourWeights('D50', 2));
          return deltaE2000(labUnder(given, { light, observer }, to), truth);
        });
        const limit = light === 'D65' && observer === 2 ? 1.4 : 6.2;
        expect(Math.max(...misses), `${light}/${observer}`).toBeLessThan(limit);
        expect(misses.reduce((sum, d) => sum + d, 0) / 24).toBeLessThan(2.5);
      }
  });
});
