import { describe, expect, it } from 'vitest';
import { numbers, oracle, spectrumOf } from '../../../test/oracles/colour/read-oracle.ts';
import { AppError } from '../errors.ts';
import { CMF_1931, CMF_1964, LIGHT_POWER } from './cie.data.ts';
import { deltaE76, deltaE2000 } from './difference.ts';
import { BANDS, GRID_NM } from './grid.ts';
import { labFromSpectrum, labFromXyz, xyzFromSpectrum } from './spaces.ts';
import type { Lab } from './triples.ts';
import {
  colourWeights,
  colourWeightsObserved,
  LIGHT_NAMES,
  type LightName,
  lightFromName,
  OBSERVER_DEGS,
  type ObserverDeg,
} from './weights.ts';

const conditions = LIGHT_NAMES.flatMap((light) =>
  OBSERVER_DEGS.map((observer) => ({ light, observer })),
);
const lightOf = (name: string) => lightFromName(name) as LightName;

/** The same sum done the long way: reflectance known at every 5 nm, no weights, no interpolation. */
function labDirect(at5nm: (nm: number) => number, light: LightName, observer: ObserverDeg): Lab {
  const cmf = observer === 2 ? CMF_1931 : CMF_1964;
  const sums = { x: 0, y: 0, z: 0 };
  const white = { x: 0, y: 0, z: 0 };
  for (let nm = 380; nm <= 780; nm += 5) {
    for (const axis of ['x', 'y', 'z'] as const) {
      const weight = LIGHT_POWER[light][(nm - 380) / 5] * cmf[axis][nm - 380];
      sums[axis] += weight * at5nm(nm);
      white[axis] += weight;
    }
  }
  return labFromXyz([sums.x, sums.y, sums.z], [white.x, white.y, white.z]);
}

/** Weights of the bands' own wavelengths alone: the plain way that fails under lamps with lines. */
function labPlainSampling(spectrum: Float64Array, light: LightName, observer: ObserverDeg): Lab {
  const cmf = observer === 2 ? CMF_1931 : CMF_1964;
  const sums = [0, 0, 0];
  const white = [0, 0, 0];
  GRID_NM.forEach((nm, i) => {
    (['x', 'y', 'z'] as const).forEach((axis, k) => {
      const weight = LIGHT_POWER[light][(nm - 380) / 5] * cmf[axis][nm - 380];
      sums[k] += weight * spectrum[i];
      white[k] += weight;
    });
  });
  return labFromXyz([sums[0], sums[1], sums[2]], [white[0], white[1], white[2]]);
}

describe('colourWeights', () => {
  it.each(conditions)('gives the perfect diffuser Y 1 exactly, $light $observer', (c) => {
    const weights = colourWeights(c.light, c.observer);
    const ones = new Float64Array(BANDS).fill(1);
    expect(xyzFromSpectrum(ones, weights)[1]).toBe(1);
    expect(labFromSpectrum(ones, weights)).toEqual([100, 0, 0]);
  });

  // CIE 15:2018 chromaticities. D and A to the digits they have; the lamps with lines differ by
  // up to 0.0002 because CIE sums them at 5 nm without a light between (see the docstring).
  it.each(conditions)('has the white of CIE 15, $light $observer', ({ light, observer }) => {
    const row = oracle('white-points.csv').find(
      (r) => r.illuminant === light.replace('-', '_') && Number(r.observer_deg) === observer,
    );
    const [x, y] = numbers(row ?? {}, 'x_cie', 'y_cie');
    const [X, Y, Z] = colourWeights(light, observer).white;
    const tolerance = light === 'FL11' || light === 'LED-B3' ? 3e-4 : 6e-5;
    expect(Math.abs(X / (X + Y + Z) - x)).toBeLessThan(tolerance);
    expect(Math.abs(Y / (X + Y + Z) - y)).toBeLessThan(tolerance);
  });

  it('agrees with the tables of ASTM E308-15 for A and 10 degree at 10 nm', () => {
    const weights = colourWeights('A', 10);
    const expected = [0, 1, 2].map(() => new Float64Array(BANDS));
    for (const row of oracle('e308-weights.csv').filter((r) => r.table === 'A_10deg_10nm')) {
      const [nm, ...w] = numbers(row, 'wavelength_nm', 'Wx', 'Wy', 'Wz');
      const band = Math.min(Math.max((nm - 380) / 10, 0), BANDS - 1);
      w.forEach((value, k) => {
        expected[k][band] += value;
      });
    }
    // The table is for Y 100 and rounded to 0.001; folding five rows adds up to 0.0025 at the end.
    for (const [k, got] of [weights.x, weights.y, weights.z].entries()) {
      for (let i = 0; i < BANDS; i++) {
        expect(Math.abs(100 * got[i] - expected[k][i]), `${GRID_NM[i]}`).toBeLessThan(0.0045);
      }
    }
  });

  it('gives the XYZ of the sample spectrum of ASTM E308 from data at 10 nm, 400-700', () => {
    const sample = oracle('e308-sample-spectrum.csv').map((r) => numbers(r, 'wavelength_nm', 'R'));
    const spectrum = new Float64Array(BANDS);
    const observed = new Uint8Array(BANDS);
    for (const [nm, r] of sample) {
      if (nm % 10 !== 0) continue;
      spectrum[(nm - 380) / 10] = r;
      observed[(nm - 380) / 10] = 1;
    }
    const row = oracle('e308-expected-xyz.csv').find((r) => r.interval_nm === '10');
    const xyz = xyzFromSpectrum(spectrum, colourWeightsObserved('A', 10, observed));
    const expected = numbers(row ?? {}, 'X', 'Y', 'Z');
    for (let k = 0; k < 3; k++) expect(Math.abs(100 * xyz[k] - expected[k])).toBeLessThan(0.001);
  });

  // Lab of an independent program (colour-science 0.4.6, ASTM E308 with 1 nm interpolation); its
  // 2 degree rows use another light table between 5 nm points, hence 0.011 and not 0.001.
  it.each(conditions)('gives the Lab of the 24 chart spectra, $light $observer', (c) => {
    const rows = oracle('computed-xyz-lab.csv').filter(
      (r) => lightOf(r.illuminant) === c.light && Number(r.observer_deg) === c.observer,
    );
    expect(rows).toHaveLength(24);
    const weights = colourWeights(c.light, c.observer);
    for (const chart of oracle('spectra-average30.csv')) {
      const lab = labFromSpectrum(Float64Array.from(spectrumOf(chart).values), weights);
      const expected = numbers(rows.find((r) => r.patch === chart.patch) ?? {}, 'L', 'a', 'b');
      for (let k = 0; k < 3; k++) expect(Math.abs(lab[k] - expected[k])).toBeLessThan(0.011);
    }
  });

  // Lab published in the chart's data sheets of 2016, for another sample of charts: agreement of
  // chart with chart, not of arithmetic. The average of 30 charts is within 1.2 of it.
  it('lands near the published Lab of the chart', () => {
    const weights = colourWeights('D50', 2);
    const published = oracle('lab-d50-published.csv');
    const differences = oracle('spectra-average30.csv').map((chart) => {
      const row = published.find((r) => r.patch === chart.patch) ?? {};
      const [L, a, b] = numbers(row, 'L_before2014', 'a_before2014', 'b_before2014');
      const lab = labFromSpectrum(Float64Array.from(spectrumOf(chart).values), weights);
      return deltaE2000(lab, [L, a, b]);
    });
    expect(Math.max(...differences)).toBeLessThan(1.2);
    expect(differences.reduce((sum, d) => sum + d, 0) / 24).toBeLessThan(0.55);
  });

  it('gives the Lab that an instrument printed for its own spectra, D65 and 10 degree', () => {
    for (const row of oracle('instrument-lab-d65-10.csv')) {
      const spectrum = new Float64Array(BANDS);
      const observed = new Uint8Array(BANDS);
      const { nm, values } = spectrumOf(row);
      nm.forEach((wavelength, i) => {
        spectrum[(wavelength - 380) / 10] = values[i];
        observed[(wavelength - 380) / 10] = 1;
      });
      const lab = labFromSpectrum(spectrum, colourWeightsObserved('D65', 10, observed));
      const printed = numbers(row, 'L', 'a', 'b');
      for (let k = 0; k < 3; k++) expect(Math.abs(lab[k] - printed[k])).toBeLessThan(0.004);
    }
  });
});

describe('10 nm bands against the whole sum', () => {
  // Ohta 1997 chart, measured at 5 nm: every second value weighted, against all values summed.
  const charts = oracle('spectra-ohta1997.csv').map((row) => {
    const { nm, values } = spectrumOf(row);
    const at = new Map(nm.map((wavelength, i) => [wavelength, values[i]]));
    const last = values[values.length - 1];
    return {
      at5nm: (wavelength: number) => at.get(wavelength) ?? last,
      bands: Float64Array.from(GRID_NM, (wavelength) => at.get(wavelength) ?? Number.NaN),
    };
  });
  const worst = (c: (typeof conditions)[number], lab: (bands: Float64Array) => Lab) =>
    Math.max(
      ...charts.map((chart) =>
        deltaE76(lab(chart.bands), labDirect(chart.at5nm, c.light, c.observer)),
      ),
    );

  it.each(conditions)('stays within 0.2 of it, $light $observer', (c) => {
    const weights = colourWeights(c.light, c.observer);
    expect(worst(c, (bands) => labFromSpectrum(bands, weights))).toBeLessThan(0.2);
  });

  it('is what plain sampling of the light is not under FL11', () => {
    const c = { light: 'FL11', observer: 2 } as const;
    expect(worst(c, (bands) => labPlainSampling(bands, c.light, c.observer))).toBeGreaterThan(4);
  });
});

describe('colourWeightsObserved', () => {
  it('leaves a whole spectrum unchanged', () => {
    const whole = colourWeightsObserved('D50', 2, new Uint8Array(BANDS).fill(1));
    expect([...whole.z]).toEqual([...colourWeights('D50', 2).z]);
  });

  it('keeps the white and ignores bands that were not measured', () => {
    const observed = Uint8Array.from(GRID_NM, (nm) => (nm >= 400 && nm <= 700 ? 1 : 0));
    const weights = colourWeightsObserved('FL11', 10, observed);
    const spectrum = Float64Array.from(observed, (flag) => (flag === 1 ? 1 : 1e6));
    const lab = labFromSpectrum(spectrum, weights);
    for (const [k, expected] of [100, 0, 0].entries()) expect(lab[k]).toBeCloseTo(expected, 10);
  });

  it('refuses a gap, nothing measured, and ends too short to show the colour', () => {
    const flags = (keep: (nm: number) => boolean) =>
      Uint8Array.from(GRID_NM, (nm) => (keep(nm) ? 1 : 0));
    for (const observed of [
      flags((nm) => nm !== 550),
      flags(() => false),
      flags((nm) => nm >= 450),
      flags((nm) => nm <= 600),
      new Uint8Array(10),
    ]) {
      expect(() => colourWeightsObserved('D65', 2, observed)).toThrow(AppError);
    }
  });
});

describe('lightFromName', () => {
  it.each([
    ['d50', 'D50'],
    [' D65 ', 'D65'],
    ['a', 'A'],
    ['F11', 'FL11'],
    ['fl11', 'FL11'],
    ['led_b3', 'LED-B3'],
    ['LED-B3', 'LED-B3'],
    ['C', undefined],
    ['', undefined],
  ])('reads %j', (name, light) => expect(lightFromName(name)).toBe(light));
});
