import { describe, expect, it } from 'vitest';
import { oracle, spectrumOf } from '../../../test/oracles/colour/read-oracle.ts';
import { AppError } from '../errors.ts';
import { deltaE76 } from './difference.ts';
import { GRID_NM } from './grid.ts';
import { spragueQuintic } from './interpolate.ts';
import { ontoGrid } from './resample.ts';
import { labFromSpectrum } from './spaces.ts';
import { colourWeights } from './weights.ts';

const range = (from: number, to: number, step: number) =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);
/** Ohta 1997, 24 patches at 5 nm. */
const charts = oracle('spectra-ohta1997.csv').map(spectrumOf);
const weights = colourWeights('D50', 2);

describe('ontoGrid', () => {
  it('passes 10 nm data of the whole grid unchanged', () => {
    for (const row of oracle('spectra-average30.csv')) {
      const { nm, values } = spectrumOf(row);
      const { values: got, observed } = ontoGrid(nm, values);
      values.forEach((value, i) => {
        expect(got[i]).toBeCloseTo(value, 14);
      });
      expect(observed.every((flag) => flag === 1)).toBe(true);
    }
  });

  it('takes the grid wavelengths out of 5 nm data as they are', () => {
    for (const { nm, values } of charts) {
      const { values: got } = ontoGrid(nm, values);
      GRID_NM.forEach((wavelength, i) => {
        expect(got[i]).toBeCloseTo(values[nm.indexOf(wavelength)], 14);
      });
    }
  });

  it('says which bands were not measured and leaves them empty', () => {
    const nm = range(400, 700, 10);
    const { values, observed } = ontoGrid(
      nm,
      nm.map(() => 0.5),
    );
    expect(GRID_NM.filter((_, i) => observed[i] === 1)).toEqual(nm);
    expect(values[0]).toBe(0);
    expect(values[35]).toBe(0);
  });

  it('does not reach past data that stop between two bands', () => {
    const nm = range(404, 696, 4);
    const { observed } = ontoGrid(
      nm,
      nm.map(() => 0.5),
    );
    expect(GRID_NM.filter((_, i) => observed[i] === 1)).toEqual(range(410, 690, 10));
  });

  // Every fourth value of the Ohta chart, and the rest left out: what 20 nm data lose.
  it('brings 20 nm data within 1.5 CIELAB units of the 5 nm reading', () => {
    for (const { nm, values } of charts) {
      const coarse = nm.map((_, i) => i).filter((i) => i % 4 === 0 && nm[i] <= 740);
      const got = ontoGrid(
        coarse.map((i) => nm[i]),
        coarse.map((i) => values[i]),
      );
      const all = ontoGrid(nm, values);
      const [one, other] = [got, all].map((s) => labFromSpectrum(s.values, weights));
      expect(deltaE76(one, other)).toBeLessThan(1.5);
    }
  });

  it('reads uneven wavelengths by the spline', () => {
    for (const { nm, values } of charts) {
      const truth = spragueQuintic(nm, values);
      const uneven = range(380, 735, 5).map((w, i) => w + (i % 3) * 1.3);
      const got = ontoGrid(uneven, uneven.map(truth));
      GRID_NM.forEach((wavelength, i) => {
        expect(Math.abs(got.values[i] - truth(wavelength))).toBeLessThan(0.004);
      });
    }
  });

  it('keeps the colour of 1 nm data and takes more than half of their noise away', () => {
    const nm = range(380, 740, 1);
    // A fixed, even spread of plus and minus: a linear congruential walk, seed 7.
    let seed = 7;
    const chance = () => (seed = (seed * 1664525 + 1013904223) % 4294967296) / 4294967296 - 0.5;
    let before = 0;
    let after = 0;
    for (const chart of charts) {
      const truth = spragueQuintic(chart.nm, chart.values);
      const sampled = Float64Array.from(GRID_NM, truth);
      const clean = ontoGrid(nm, nm.map(truth));
      const moved = deltaE76(
        labFromSpectrum(clean.values, weights),
        labFromSpectrum(sampled, weights),
      );
      expect(moved).toBeLessThan(0.08);
      const noisy = nm.map((w) => truth(w) + 0.02 * chance());
      const got = ontoGrid(nm, noisy);
      GRID_NM.forEach((w, i) => {
        before += (noisy[w - 380] - truth(w)) ** 2;
        after += (got.values[i] - truth(w)) ** 2;
      });
    }
    expect(Math.sqrt(after / before)).toBeLessThan(0.5);
  });

  it('lets through a zero that reads below nought and a brightened white', () => {
    const nm = range(400, 700, 10);
    expect(
      ontoGrid(
        nm,
        nm.map(() => -0.01),
      ).values[10],
    ).toBeCloseTo(-0.01, 12);
    expect(
      ontoGrid(
        nm,
        nm.map(() => 1.2),
      ).values[10],
    ).toBeCloseTo(1.2, 12);
  });

  const tens = range(400, 700, 10);
  const half = tens.map(() => 0.5);
  it.each([
    { why: 'fewer than ten points', nm: tens.slice(0, 9), values: half.slice(0, 9) },
    { why: 'unsorted', nm: [410, 400, ...tens.slice(2)], values: half },
    { why: 'a doubled wavelength', nm: [400, 400, ...tens.slice(2)], values: half },
    { why: 'a value that is not a number', nm: tens, values: [Number.NaN, ...half.slice(1)] },
    { why: 'a wavelength that is not a number', nm: [Number.NaN, ...tens.slice(1)], values: half },
    { why: 'a step over 20 nm', nm: [...tens, 721], values: [...half, 0.5] },
    { why: 'per cent', nm: tens, values: half.map((v) => v * 100) },
    { why: 'far below nought', nm: tens, values: [-0.2, ...half.slice(1)] },
    { why: 'unequal lengths', nm: tens, values: half.slice(1) },
    { why: 'infrared alone', nm: tens.map((w) => w + 600), values: half },
  ])('refuses $why, with something to do', ({ nm, values }) => {
    try {
      ontoGrid(nm, values);
    } catch (fault) {
      expect(fault).toBeInstanceOf(AppError);
      expect((fault as AppError).kind).toBe('bad-input');
      expect((fault as AppError).hint.length).toBeGreaterThan(20);
      return;
    }
    expect.fail('it was accepted');
  });
});
