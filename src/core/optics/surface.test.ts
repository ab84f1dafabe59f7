import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { AppError } from '../errors.ts';
import { reflectanceFromRatio } from './kubelka-munk.ts';
import {
  claySurface,
  internalFromMeasured,
  measuredFromInternal,
  measuredSlope,
} from './surface.ts';

const SEED = { seed: 4712, numRuns: 400 };
const share = between(0, 1);
const surfaces = fc.record({
  outer: between(0, 0.1),
  inner: between(0, 0.7),
  glossShare: fc.double({ min: 0, max: 1, noNaN: true }),
});

const worked: {
  readonly k1: number;
  readonly k2: number;
  readonly K: number[][];
  readonly S: number[][];
  readonly cases: { readonly kind: string; readonly c: number[]; readonly R: number[] }[];
} = JSON.parse(
  readFileSync(
    new URL('../../../test/oracles/optics/kubelka-munk-worked.json', import.meta.url),
    'utf8',
  ),
);

describe('surface', () => {
  // Source: tests of waacton/Unicolour, see test/oracles/SOURCES.md; its form leaves the outer
  // reflection out of the reading.
  const cases = worked.cases.filter((c) => c.kind === 'saunderson');
  it.each(cases)('shows the mix $c as worked', ({ c, R }) => {
    const surface = { outer: worked.k1, inner: worked.k2, glossShare: 0 };
    R.forEach((expected, band) => {
      const sum = (table: number[][]) => c.reduce((all, s, i) => all + s * table[i][band], 0);
      const internal = reflectanceFromRatio(sum(worked.K) / sum(worked.S));
      expect(Math.abs(measuredFromInternal(internal, surface) - expected)).toBeLessThan(1e-9);
      const included = measuredFromInternal(internal, { ...surface, glossShare: 1 });
      expect(Math.abs(included - worked.k1 - expected)).toBeLessThan(1e-9);
    });
  });

  it('shows 0.5 as 0.31429 with the gloss, and back', () => {
    // Computed from Saunderson's formula: 0.04 + 0.96 * 0.4 * 0.5 / 0.7 = 0.04 + 0.96 * 2 / 7.
    const surface = claySurface('included');
    expect(measuredFromInternal(0.5, surface)).toBeCloseTo(0.04 + (0.96 * 2) / 7, 14);
    expect(measuredFromInternal(0.5, surface)).toBeCloseTo(0.31429, 5);
    expect(internalFromMeasured(0.31428571428571, surface)).toBeCloseTo(0.5, 12);
  });

  it('has the normal reflection of refractive index 1.5', () => {
    // Fresnel: ((n - 1) / (n + 1))^2.
    expect(claySurface('included').outer).toBeCloseTo((0.5 / 2.5) ** 2, 14);
  });

  it('returns from the reading to the inside, and from the inside to the reading', () => {
    fc.assert(
      fc.property(share, surfaces, (internal, surface) => {
        const there = measuredFromInternal(internal, surface);
        const back = internalFromMeasured(there, surface);
        expect(Math.abs(back - internal)).toBeLessThan(1e-13);
        expect(Math.abs(measuredFromInternal(back, surface) - there)).toBeLessThan(1e-13);
      }),
      SEED,
    );
  });

  it('runs from the gloss alone to a perfect body', () => {
    const [included, excluded] = [claySurface('included'), claySurface('excluded')];
    expect(measuredFromInternal(0, included)).toBe(included.outer);
    expect(measuredFromInternal(0, excluded)).toBe(0);
    expect(measuredFromInternal(1, included)).toBeCloseTo(1, 14);
    expect(measuredFromInternal(1, excluded)).toBeCloseTo(1 - excluded.outer, 14);
  });

  it('has the slope of its own curve', () => {
    fc.assert(
      fc.property(between(0.001, 0.999), surfaces, (at, surface) => {
        const h = 1e-5;
        const central =
          (measuredFromInternal(at + h, surface) - measuredFromInternal(at - h, surface)) / (2 * h);
        expect(Math.abs(measuredSlope(at, surface) / central - 1)).toBeLessThan(1e-8);
      }),
      SEED,
    );
  });

  it('holds a reading below its surface at 0 and above a perfect body at 1', () => {
    const surface = claySurface('included');
    expect(internalFromMeasured(0.02, surface)).toBe(0);
    expect(internalFromMeasured(-0.1, surface)).toBe(0);
    expect(internalFromMeasured(1.03, surface)).toBe(1);
  });

  it('refuses a reading without a value', () => {
    expect(() => internalFromMeasured(Number.NaN, claySurface('included'))).toThrow(AppError);
  });
});
