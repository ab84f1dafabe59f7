import Color from 'colorjs.io';
import { converter } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { numbers, oracle } from '../../../test/oracles/colour/read-oracle.ts';
import { AppError } from '../errors.ts';
import {
  labFromLch,
  labFromSpectrum,
  labFromSpectrumInto,
  labFromXyz,
  labInto,
  labJacobian,
  lchFromLab,
  xyzFromLab,
  xyzFromSpectrum,
  xyzInto,
} from './spaces.ts';
import type { Xyz } from './triples.ts';
import { colourWeights } from './weights.ts';

/** D50 of CSS Color 4, from x 0.3457, y 0.3585; the conversions of the web are against it. */
const CSS_D50: Xyz = [0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585];

describe('labFromXyz', () => {
  // Computed from the formula of CIE 15: L*(Y 0.18) = 49.50.
  it('gives L* 49.50 at Y 0.18', () => {
    expect(Math.abs(labFromXyz([0.18, 0.18, 0.18], [1, 1, 1])[0] - 49.5)).toBeLessThan(0.01);
  });

  // colorjs.io 0.7.1, checked against culori 4.0.2; XYZ there has 8 digits.
  it('matches 181 conversions of CSS Color 4, and back', () => {
    const rows = oracle('srgb-conversions.csv');
    expect(rows).toHaveLength(181);
    for (const row of rows) {
      const [X, Y, Z] = numbers(row, 'X_D50', 'Y_D50', 'Z_D50');
      const expected = numbers(row, 'lab_L', 'lab_a', 'lab_b');
      const lab = labFromXyz([X, Y, Z], CSS_D50);
      const back = xyzFromLab([expected[0], expected[1], expected[2]], CSS_D50);
      for (let k = 0; k < 3; k++) {
        expect(Math.abs(lab[k] - expected[k])).toBeLessThan(2e-4);
        expect(Math.abs(back[k] - [X, Y, Z][k])).toBeLessThan(1e-7);
      }
    }
  });

  it('agrees with colorjs.io and culori on a dense grid, both ways', () => {
    const theirXyz = converter('xyz50');
    let count = 0;
    for (let L = 0; L <= 100; L += 5)
      for (let a = -120; a <= 120; a += 20)
        for (let b = -120; b <= 120; b += 20) {
          const xyz = xyzFromLab([L, a, b], CSS_D50);
          const js = new Color('lab', [L, a, b]).to('xyz-d50').coords as number[];
          const cu = theirXyz({ mode: 'lab', l: L, a, b });
          const back = labFromXyz(xyz, CSS_D50);
          for (let k = 0; k < 3; k++) {
            expect(Math.abs(xyz[k] - js[k])).toBeLessThan(1e-12);
            expect(Math.abs(xyz[k] - [cu.x, cu.y, cu.z][k])).toBeLessThan(1e-7);
            expect(Math.abs(back[k] - [L, a, b][k])).toBeLessThan(1e-9);
          }
          count++;
        }
    expect(count).toBe(21 * 13 * 13);
  });
});

describe('lchFromLab', () => {
  it('matches 181 conversions of CSS Color 4, and back', () => {
    for (const row of oracle('srgb-conversions.csv')) {
      const [L, a, b, C] = numbers(row, 'lab_L', 'lab_a', 'lab_b', 'lch_C');
      const lch = lchFromLab([L, a, b]);
      expect(Math.abs(lch[1] - C)).toBeLessThan(2e-5);
      if (row.lch_h !== '') expect(Math.abs(lch[2] - Number(row.lch_h))).toBeLessThan(2e-4);
      const back = labFromLch(lch);
      expect(Math.hypot(back[1] - a, back[2] - b)).toBeLessThan(1e-10);
    }
  });

  it('keeps the hue from 0 up to but not 360, and gives grey a 0', () => {
    expect(lchFromLab([50, 0, 0])).toEqual([50, 0, 0]);
    expect(lchFromLab([50, 10, -1e-20])[2]).toBe(0);
    const axis = fc.double({ min: -128, max: 128, noNaN: true });
    fc.assert(
      fc.property(axis, axis, (a, b) => {
        const hue = lchFromLab([50, a, b])[2];
        return hue >= 0 && hue < 360;
      }),
      { seed: 15, numRuns: 1000 },
    );
  });
});

describe('labJacobian', () => {
  it('is the slope of labFromXyz, in the line near black and in the cube root', () => {
    const { white } = colourWeights('A', 10);
    const points: Xyz[] = [
      [0.3, 0.25, 0.05],
      [0.01, 0.012, 0.002],
      [0.004, 0.004, 0.001],
      [0.9, 0.95, 0.3],
      [0.0005, 0.2, 0.0001],
    ];
    for (const xyz of points) {
      const slopes = labJacobian(xyz, white);
      for (let column = 0; column < 3; column++) {
        const h = 1e-6 * white[column];
        const shifted = (sign: number) =>
          labFromXyz(xyz.map((v, k) => (k === column ? v + sign * h : v)) as unknown as Xyz, white);
        const [up, down] = [shifted(1), shifted(-1)];
        for (let row = 0; row < 3; row++) {
          const expected = (up[row] - down[row]) / (2 * h);
          const scale = Math.max(1, Math.abs(expected));
          expect(Math.abs(slopes[3 * row + column] - expected) / scale).toBeLessThan(1e-5);
        }
      }
    }
  });

  it('does not jump where the line meets the cube root', () => {
    const at = (t: number) => labJacobian([t, t, t], [1, 1, 1])[1];
    expect(at(216 / 24389 + 1e-12)).toBeCloseTo(at(216 / 24389), 5);
  });
});

describe('the loop forms', () => {
  it('give what the plain forms give', () => {
    const weights = colourWeights('FL11', 2);
    const spectrum = Float64Array.from({ length: 36 }, (_, i) => 0.3 + 0.25 * Math.sin(i / 4));
    const out = new Float64Array(3);
    labFromSpectrumInto(out, spectrum, weights);
    expect([...out]).toEqual(labFromSpectrum(spectrum, weights));
    xyzInto(out, spectrum, weights);
    const [x, y, z] = xyzFromSpectrum(spectrum, weights);
    expect([...out]).toEqual([x, y, z]);
    labInto(out, x, y, z, weights.white);
    expect([...out]).toEqual(labFromSpectrum(spectrum, weights));
  });

  it('leaves the check of the band count to the plain form', () => {
    const weights = colourWeights('D50', 2);
    expect(() => xyzFromSpectrum(new Float64Array(31), weights)).toThrow(AppError);
  });
});
