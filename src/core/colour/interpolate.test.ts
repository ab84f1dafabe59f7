import { describe, expect, it } from 'vitest';
import { numbers, oracle } from '../../../test/oracles/colour/read-oracle.ts';
import { notAKnotSpline, spragueQuintic } from './interpolate.ts';

const tens = Array.from({ length: 15 }, (_, i) => 380 + 10 * i);
const uneven = tens.map((nm, i) => nm + 3 * Math.sin(5 * i));
const bumpy = tens.map((_, i) => 0.4 + 0.3 * Math.sin(2 * i) + 0.01 * i);
const polynomial = (degree: number) => (nm: number) => ((nm - 450) / 60) ** degree;

describe('spragueQuintic', () => {
  it('passes through the table', () => {
    const at = spragueQuintic(tens, bumpy);
    tens.forEach((nm, i) => {
      expect(at(nm)).toBeCloseTo(bumpy[i], 14);
    });
  });

  // Values in the documentation of colour-science 0.4.2 (SpragueInterpolator); in the first step,
  // which the outer points of CIE 167:2005 table V affect.
  it.each([
    [0.25, 6.7295161],
    [0.5, 7.2185025],
    [0.75, 7.8140625],
  ])('reads %f of the worked table as %f', (place, expected) => {
    const worked = [5.92, 9.37, 10.8135, 4.51, 69.59, 27.8007, 86.05];
    const at = spragueQuintic([0, 1, 2, 3, 4, 5, 6], worked);
    expect(Math.abs(at(place) - expected)).toBeLessThan(1e-7);
    const mirrored = spragueQuintic([0, 1, 2, 3, 4, 5, 6], worked.toReversed());
    expect(Math.abs(mirrored(6 - place) - expected)).toBeLessThan(1e-7);
  });

  it.each([0, 1, 2, 3, 4])('carries a polynomial of degree %i exactly inside', (degree) => {
    const f = polynomial(degree);
    const at = spragueQuintic(tens, tens.map(f));
    const [from, to] = degree < 2 ? [380, 520] : [400, 500];
    for (let nm = from; nm <= to; nm += 0.7) expect(at(nm)).toBeCloseTo(f(nm), 11);
  });

  // CIE 167:2005: slope and curvature at a point are the five-point central differences there.
  it('has slope and curvature of the central differences on both sides of a point', () => {
    const at = spragueQuintic(tens, bumpy);
    for (let i = 3; i < 12; i++) {
      const [a, b, c, d, e] = bumpy.slice(i - 2, i + 3);
      const slope = (a - 8 * b + 8 * d - e) / 120;
      const curvature = (-a + 16 * b - 30 * c + 16 * d - e) / 1200;
      for (const side of [-1, 1]) {
        // Slope and half the curvature from a fine walk away from the point on one side alone.
        const h = 0.01 * side;
        const v = [0, 1, 2, 3, 4].map((k) => at(tens[i] + k * h));
        const gotSlope = (-25 * v[0] + 48 * v[1] - 36 * v[2] + 16 * v[3] - 3 * v[4]) / (12 * h);
        const gotCurve =
          (35 * v[0] - 104 * v[1] + 114 * v[2] - 56 * v[3] + 11 * v[4]) / (12 * h * h);
        expect(gotSlope).toBeCloseTo(slope, 8);
        expect(gotCurve).toBeCloseTo(curvature, 6);
      }
    }
  });
});

describe('notAKnotSpline', () => {
  // scipy 1.17.1, CubicSpline with its default ends.
  it('gives the values of an independent program', () => {
    const rows = oracle('spline-not-a-knot.csv');
    const knots = rows.filter((r) => r.role === 'knot').map((r) => numbers(r, 'x', 'y'));
    const at = notAKnotSpline(
      knots.map(([x]) => x),
      knots.map(([, y]) => y),
    );
    const asked = rows.filter((r) => r.role === 'asked').map((r) => numbers(r, 'x', 'y'));
    expect(asked).toHaveLength(19);
    for (const [x, y] of asked) expect(at(x)).toBeCloseTo(y, 13);
  });

  it.each([0, 1, 2, 3])('carries a polynomial of degree %i exactly', (degree) => {
    const f = polynomial(degree);
    const at = notAKnotSpline(uneven, uneven.map(f));
    for (let nm = uneven[0]; nm < uneven[14]; nm += 0.7) expect(at(nm)).toBeCloseTo(f(nm), 11);
  });
});
