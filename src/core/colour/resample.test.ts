import { describe, expect, it } from 'vitest';
import { numbers, oracle, spectrumOf } from '../../../test/oracles/colour/read-oracle.ts';
import { AppError } from '../errors.ts';
import { deltaE76, deltaE2000 } from './difference.ts';
import { GRID_NM } from './grid.ts';
import { spragueQuintic } from './interpolate.ts';
import { ontoGrid } from './resample.ts';
import { labFromSpectrum, labFromXyz } from './spaces.ts';
import type { Lab } from './triples.ts';
import { colourWeights, colourWeightsObserved } from './weights.ts';

const range = (from: number, to: number, step: number) =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);
/** Ohta 1997, 24 patches at 5 nm. */
const charts = oracle('spectra-ohta1997.csv').map(spectrumOf);
const weights = colourWeights('D50', 2);

/** Lab by the plain sum over the published tables at 5 nm; past the data the last value goes on. */
function labSummed(at: ReadonlyMap<number, number>, light: string, observer: 2 | 10): Lab {
  const cmf = oracle(observer === 2 ? 'cmf-1931-2deg-1nm.csv' : 'cmf-1964-10deg-1nm.csv');
  const matching = new Map(
    cmf.map((row) => [Number(row.wavelength_nm), numbers(row, 'x_bar', 'y_bar', 'z_bar')]),
  );
  const last = [...at.values()].at(-1) ?? Number.NaN;
  const sums = [0, 0, 0];
  const white = [0, 0, 0];
  for (const row of oracle('illuminants-5nm.csv')) {
    const [nm, power] = numbers(row, 'wavelength_nm', light);
    (matching.get(nm) ?? []).forEach((bar, k) => {
      sums[k] += power * bar * (at.get(nm) ?? last);
      white[k] += power * bar;
    });
  }
  return labFromXyz([sums[0], sums[1], sums[2]], [white[0], white[1], white[2]]);
}

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

  // CIE 15 sums all 5 nm values; the 36 bands with their weights must give the same colour. Every
  // second value alone misses by up to 0.085 dE00.
  it.each(
    (['D50', 'D65', 'A'] as const).flatMap((light) =>
      ([2, 10] as const).map((observer) => ({ light, observer })),
    ),
  )('keeps the colour of 5 nm data, $light $observer', ({ light, observer }) => {
    const bandWeights = colourWeights(light, observer);
    for (const { nm, values } of charts) {
      const lab = labFromSpectrum(ontoGrid(nm, values).values, bandWeights);
      const summed = labSummed(new Map(nm.map((n, i) => [n, values[i]])), light, observer);
      expect(deltaE2000(lab, summed)).toBeLessThan(0.01);
    }
  });

  it('keeps the colour of 5 nm data that stop at 400 and 700 nm', () => {
    for (const { nm, values } of charts) {
      const within = nm.flatMap((n, i) => (n >= 400 && n <= 700 ? [i] : []));
      const short = ontoGrid(
        within.map((i) => nm[i]),
        within.map((i) => values[i]),
      );
      const lab = labFromSpectrum(short.values, colourWeightsObserved('D50', 2, short.observed));
      const level = new Map(
        nm.map((n) => [n, values[nm.indexOf(Math.min(700, Math.max(400, n)))]]),
      );
      expect(deltaE2000(lab, labSummed(level, 'D50', 2))).toBeLessThan(0.02);
    }
  });

  it.each([1, 2.5, 5, 7])('carries a parabola exactly from steps of %d nm', (step) => {
    const f = (w: number) => 0.4 + ((w - 550) / 400) ** 2;
    // Sprague's outer steps carry straight lines only, and lie outside the grid here.
    const nm = range(345, 765, step);
    const { values } = ontoGrid(nm, nm.map(f));
    GRID_NM.forEach((w, i) => {
      expect(values[i]).toBeCloseTo(f(w), 10);
    });
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
      const clean = ontoGrid(nm, nm.map(truth));
      const summed = labSummed(new Map(nm.map((w) => [w, truth(w)])), 'D50', 2);
      expect(deltaE2000(labFromSpectrum(clean.values, weights), summed)).toBeLessThan(0.01);
      const noisy = nm.map((w) => truth(w) + 0.02 * chance());
      const got = ontoGrid(nm, noisy);
      GRID_NM.forEach((w, i) => {
        before += (noisy[w - 380] - truth(w)) ** 2;
        after += (got.values[i] - truth(w)) ** 2;
      });
    }
    expect(Math.sqrt(after / before)).toBeLessThan(0.5);
  });

  it('accepts a zero that reads below 0 and a brightened white', () => {
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
    { why: 'far below 0', nm: tens, values: [-0.2, ...half.slice(1)] },
    { why: 'unequal lengths', nm: tens, values: half.slice(1) },
    { why: 'infrared alone', nm: tens.map((w) => w + 600), values: half },
  ])('refuses $why, with a hint', ({ nm, values }) => {
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
