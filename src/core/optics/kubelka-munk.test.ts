import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between, decades } from '../../../test/conformance/uniform.ts';
import { AppError } from '../errors.ts';
import {
  contrastRatio,
  type FilmResult,
  filmReflectance,
  ratioFromReflectance,
  reflectanceFromRatio,
  reflectanceSlopeLogRatio,
} from './kubelka-munk.ts';

const SEED = { seed: 4711, numRuns: 400 };

interface Worked {
  readonly R: number[][];
  readonly K: number[][];
  readonly S: number[][];
  readonly cases: { readonly kind: string; readonly c: number[]; readonly R: number[] }[];
}
const worked: Worked = JSON.parse(
  readFileSync(
    new URL('../../../test/oracles/optics/kubelka-munk-worked.json', import.meta.url),
    'utf8',
  ),
);
const casesOf = (kind: string) => worked.cases.filter((c) => c.kind === kind);
const weighted = (c: readonly number[], table: readonly number[][], band: number) =>
  c.reduce((sum, share, i) => sum + share * table[i][band], 0);

function film(absorption: number, scattering: number, backing: number): FilmResult {
  const out = { reflectance: 0, slopeLogAbsorption: 0, slopeLogScattering: 0 };
  return filmReflectance(absorption, scattering, backing, out);
}
const filmR = (k: number, s: number, backing: number) => film(k, s, backing).reflectance;

const share = between(0, 1);

describe('opaque layer', () => {
  // Printed to 15 decimals. Source: tests of waacton/Unicolour, see test/oracles/SOURCES.md.
  const PRINTED = 1e-9;

  it.each(casesOf('single'))('mixes one-constant pigments $c as worked', ({ c, R }) => {
    R.forEach((expected, band) => {
      const ratios = worked.R.map((curve) => [ratioFromReflectance(curve[band])]);
      expect(Math.abs(reflectanceFromRatio(weighted(c, ratios, 0)) - expected)).toBeLessThan(
        PRINTED,
      );
    });
  });

  it.each(casesOf('two'))('mixes two-constant pigments $c as worked', ({ c, R }) => {
    R.forEach((expected, band) => {
      const ratio = weighted(c, worked.K, band) / weighted(c, worked.S, band);
      expect(Math.abs(reflectanceFromRatio(ratio) - expected)).toBeLessThan(PRINTED);
    });
  });

  // Computed from (1 - R)^2 / 2R by hand: 0.25 / 1, 0.81 / 0.2, 0.9604 / 0.04.
  it.each([
    [0.5, 0.25],
    [0.1, 4.05],
    [0.02, 24.01],
  ])('has K/S of reflectance %d', (reflectance, ratio) => {
    expect(ratioFromReflectance(reflectance)).toBeCloseTo(ratio, 12);
  });

  it('reads 2 - sqrt 3 at K/S 1, white at 0 and black at infinity', () => {
    expect(reflectanceFromRatio(1)).toBeCloseTo(2 - Math.sqrt(3), 15);
    expect(reflectanceFromRatio(0)).toBe(1);
    expect(reflectanceFromRatio(Number.POSITIVE_INFINITY)).toBe(0);
    expect(ratioFromReflectance(0)).toBe(Number.POSITIVE_INFINITY);
    expect(ratioFromReflectance(1)).toBe(0);
  });

  it('holds 1e-12 of the value itself from the darkest to the palest reflectance', () => {
    // q is exact to rounding from either end: from R itself when dark, from 1 - R when pale.
    fc.assert(
      fc.property(decades(-15, Math.log10(0.5)), (small) => {
        const dark = reflectanceFromRatio((1 - small) ** 2 / (2 * small));
        expect(Math.abs(dark / small - 1)).toBeLessThan(1e-12);
        const pale = reflectanceFromRatio(small ** 2 / (2 * (1 - small)));
        expect(Math.abs(pale / (1 - small) - 1)).toBeLessThan(1e-12);
        expect(
          Math.abs(ratioFromReflectance(small) / ((1 - small) ** 2 / (2 * small)) - 1),
        ).toBeLessThan(1e-12);
      }),
      SEED,
    );
  });

  it('goes to the ratio and back', () => {
    fc.assert(
      fc.property(between(1e-9, 1), (reflectance) => {
        const back = reflectanceFromRatio(ratioFromReflectance(reflectance));
        expect(Math.abs(back / reflectance - 1)).toBeLessThan(1e-12);
      }),
      SEED,
    );
  });

  it('halves K/S exactly, one to one with a white of no absorption and equal scattering', () => {
    // Computed from the formula: (0 + K) / (S + S).
    const ratio = ratioFromReflectance(0.1);
    const mixed = reflectanceFromRatio((0 + ratio) / (1 + 1));
    expect(ratioFromReflectance(mixed)).toBeCloseTo(ratio / 2, 12);
  });

  it('lets scattering be recovered from a masstone, a white and a tint', () => {
    // Computed from the formula: white k = 0.005, masstone q = 6.6667, share 0.2, S = 0.3.
    const [white, masstone, c, scattering] = [0.005, 20 / 3, 0.2, 0.3];
    const tint = (c * masstone * scattering + (1 - c) * white) / (c * scattering + (1 - c));
    const m = ratioFromReflectance(reflectanceFromRatio(tint));
    expect(m).toBeCloseTo(0.4698, 4);
    expect((((1 - c) / c) * (m - white)) / (masstone - m)).toBeCloseTo(0.3, 9);
  });

  it('determines K/S best at reflectance sqrt 2 - 1', () => {
    // Computed from the formula: an error of a fixed size in R moves ln K/S least where
    // |dR / d ln q| is largest.
    let best = 0;
    let steepest = 0;
    for (let reflectance = 0.001; reflectance < 1; reflectance += 0.0001) {
      const slope = Math.abs(
        reflectanceSlopeLogRatio(ratioFromReflectance(reflectance), reflectance),
      );
      if (slope > steepest) [best, steepest] = [reflectance, slope];
    }
    expect(best).toBeCloseTo(Math.SQRT2 - 1, 3);
  });

  it('has the slope of its own curve', () => {
    fc.assert(
      fc.property(decades(-8, 6), (ratio) => {
        const h = 1e-4;
        const slope = reflectanceSlopeLogRatio(ratio, reflectanceFromRatio(ratio));
        const central =
          (reflectanceFromRatio(ratio * Math.exp(h)) - reflectanceFromRatio(ratio * Math.exp(-h))) /
          (2 * h);
        // Central differences: h^2 of the third derivative and 1e-16 / h of rounding.
        expect(Math.abs(slope - central)).toBeLessThan(1e-8 * Math.abs(slope) + 4e-12);
      }),
      SEED,
    );
    expect(reflectanceSlopeLogRatio(0, 1)).toBe(-0);
    expect(reflectanceSlopeLogRatio(Number.POSITIVE_INFINITY, 0)).toBe(0);
  });
});

describe('film', () => {
  it('reads as worked at K X = S X = 1', () => {
    // Computed from the hyperbolic formula: 1 / (2 + sqrt 3 coth sqrt 3) over black; the same over
    // the palest backing there is.
    const root = Math.sqrt(3);
    expect(filmR(1, 1, 0)).toBeCloseTo(1 / (2 + root / Math.tanh(root)), 14);
    expect(filmR(1, 1, 0)).toBeCloseTo(0.26015, 5);
    expect(filmR(1, 1, 1)).toBeCloseTo(0.29676, 5);
  });

  it('reads S X / (S X + 1) over black without absorption', () => {
    expect(filmR(0, 3, 0)).toBeCloseTo(0.75, 14);
    fc.assert(
      fc.property(decades(-12, 8), share, (s, backing) => {
        const expected = ((1 - backing) * s + backing) / ((1 - backing) * s + 1);
        expect(Math.abs(filmR(0, s, backing) - expected)).toBeLessThan(1e-13);
      }),
      SEED,
    );
  });

  it('lets light through and back, dimmed only, without scattering', () => {
    // Lambert-Bouguer over the path there and back: Rg exp(-2 K X).
    fc.assert(
      fc.property(decades(-12, 2), share, (k, backing) => {
        expect(Math.abs(filmR(k, 0, backing) - backing * Math.exp(-2 * k))).toBeLessThan(1e-13);
      }),
      SEED,
    );
  });

  it('solves the two-flux equation dR/dX = S - 2 (K + S) R + S R^2', () => {
    // The differential equation itself, stepped by the classical Runge-Kutta rule.
    const integrated = (k: number, s: number, backing: number) => {
      const steps = 2000;
      const h = 1 / steps;
      const f = (r: number) => s - 2 * (k + s) * r + s * r * r;
      let r = backing;
      for (let i = 0; i < steps; i++) {
        const a = f(r);
        const b = f(r + (h / 2) * a);
        const c = f(r + (h / 2) * b);
        r += (h / 6) * (a + 2 * b + 2 * c + f(r + h * c));
      }
      return r;
    };
    fc.assert(
      fc.property(decades(-5, 1), decades(-5, 1), share, (k, s, backing) => {
        expect(Math.abs(filmR(k, s, backing) - integrated(k, s, backing))).toBeLessThan(1e-9);
      }),
      { ...SEED, numRuns: 60 },
    );
  });

  it('upon a film of the same kind is one thicker film', () => {
    // Drawn by y = sqrt(K X (K X + 2 S X)), so that both seams of the formula are often between.
    fc.assert(
      fc.property(
        fc.oneof(decades(-4, 0), between(0.01, 40)),
        decades(-3, 2),
        share,
        share,
        (y, ratio, backing, part) => {
          const s = y / Math.sqrt(ratio * (ratio + 2));
          const k = ratio * s;
          const below = filmR(k * part, s * part, backing);
          const both = filmR(k * (1 - part), s * (1 - part), below);
          expect(Math.abs(both - filmR(k, s, backing))).toBeLessThan(1e-13);
        },
      ),
      { ...SEED, numRuns: 2000 },
    );
  });

  it('is the backing when there is none of it', () => {
    fc.assert(
      fc.property(share, (backing) => {
        expect(filmR(0, 0, backing)).toBeCloseTo(backing, 15);
      }),
      SEED,
    );
  });

  it('nears the opaque layer when it is thick, with its slopes', () => {
    fc.assert(
      fc.property(decades(-3, 3), share, (ratio, backing) => {
        // e^-2y of the backing shows through: y = 40 leaves 1e-35.
        const s = 40 / Math.sqrt(ratio * (ratio + 2));
        const thick = film(ratio * s, s, backing);
        const opaque = reflectanceFromRatio(ratio);
        expect(Math.abs(thick.reflectance - opaque)).toBeLessThan(1e-12);
        const slope = reflectanceSlopeLogRatio(ratio, opaque);
        expect(Math.abs(thick.slopeLogAbsorption - slope)).toBeLessThan(1e-11);
        expect(Math.abs(thick.slopeLogScattering + slope)).toBeLessThan(1e-11);
      }),
      SEED,
    );
    expect(filmR(Number.POSITIVE_INFINITY, 1, 0.5)).toBe(0);
  });

  it('has the slopes of its own surface', () => {
    fc.assert(
      fc.property(decades(-6, 2.5), decades(-6, 2.5), share, (k, s, backing) => {
        const h = 1e-4;
        const { slopeLogAbsorption, slopeLogScattering } = film(k, s, backing);
        const up = Math.exp(h);
        const byK = (filmR(k * up, s, backing) - filmR(k / up, s, backing)) / (2 * h);
        const byS = (filmR(k, s * up, backing) - filmR(k, s / up, backing)) / (2 * h);
        expect(Math.abs(slopeLogAbsorption - byK)).toBeLessThan(2e-7 * Math.abs(byK) + 1e-10);
        expect(Math.abs(slopeLogScattering - byS)).toBeLessThan(2e-7 * Math.abs(byS) + 1e-10);
      }),
      SEED,
    );
  });

  it.each([1e-2, 20])('continues smoothly through y = %d, where its formula changes', (seam) => {
    for (const ratio of [1e-3, 0.1, 1, 30]) {
      for (const backing of [0, 0.3, 0.8, 1]) {
        const at = (y: number) => {
          const s = y / Math.sqrt(ratio * (ratio + 2));
          return film(ratio * s, s, backing);
        };
        const step = 1e-13;
        const below = at(seam * (1 - step));
        const above = at(seam * (1 + step));
        // Over 2e-13 of y nothing may move by more, but for what the series leave out at y = 0.01:
        // y^6 2/945 = 2e-15 of g, and y^4 12/945 = 1e-10 of its slope, which counts by k^2 < 1e-4.
        const SEAM = 1e-12;
        expect(Math.abs(above.reflectance - below.reflectance)).toBeLessThan(SEAM);
        expect(Math.abs(above.slopeLogAbsorption - below.slopeLogAbsorption)).toBeLessThan(SEAM);
        expect(Math.abs(above.slopeLogScattering - below.slopeLogScattering)).toBeLessThan(SEAM);
      }
    }
  });

  it('keeps finite slopes down to no film at all', () => {
    for (const y of [0, 1e-200, 1e-100, 1e-30, 1e-12, 1e-6, 1e-3]) {
      for (const [k, s] of [
        [y, y],
        [0, y],
        [y, 0],
      ]) {
        const { reflectance, slopeLogAbsorption, slopeLogScattering } = film(k, s, 0.4);
        expect(Math.abs(reflectance - 0.4)).toBeLessThanOrEqual(2 * y + 1e-15);
        // First order in a thin film: -2 Rg k and (1 - Rg)^2 s.
        expect(Math.abs(slopeLogAbsorption + 0.8 * k)).toBeLessThanOrEqual(5 * y * y + 1e-16 * k);
        expect(Math.abs(slopeLogScattering - 0.36 * s)).toBeLessThanOrEqual(5 * y * y + 1e-15 * s);
      }
    }
  });

  it('lies between its backing and its opaque limit', () => {
    fc.assert(
      fc.property(decades(-8, 4), decades(-8, 4), share, (k, s, backing) => {
        const limit = reflectanceFromRatio(k / s);
        const r = filmR(k, s, backing);
        expect(r).toBeGreaterThanOrEqual(Math.min(limit, backing) - 1e-12);
        expect(r).toBeLessThanOrEqual(Math.max(limit, backing) + 1e-12);
      }),
      SEED,
    );
  });

  it.each([
    [-1, 1, 0.5],
    [1, -1, 0.5],
    [1, 1, -0.1],
    [Number.NaN, 1, 0.5],
    [1, Number.NaN, 0.5],
    [1, 1, Number.NaN],
    [0, Number.POSITIVE_INFINITY, 0.5],
    [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, 0.5],
    [1, 1, 1.01],
  ])('refuses absorption %d, scattering %d, backing %d', (k, s, backing) => {
    expect(() => film(k, s, backing)).toThrow(AppError);
  });
});

describe('a film thicker than any that could be rolled', () => {
  it('is its opaque limit, however large its numbers', () => {
    for (const ratio of [1e-6, 0.1, 1, 30]) {
      const thick = filmR(ratio * 1e200, 1e200, 0.5);
      expect(thick).toBeCloseTo(reflectanceFromRatio(ratio), 12);
    }
  });
});

describe('contrast ratio', () => {
  // S X that hides a black and a 0.80 backing to 0.98 (full hiding, ISO 6504-1; 0.80 white, ASTM
  // D2805). The S X are computed from the formula, to one decimal.
  it.each([
    [0.9, 9.1],
    [0.8, 6.5],
    [0.6, 3.7],
    [0.4, 2.2],
    [0.2, 1.1],
  ])('of a clay of reflectance %d is 0.98 at S X %d', (reflectance, needed) => {
    const ratio = ratioFromReflectance(reflectance);
    const contrast = (s: number) => contrastRatio(filmR(ratio * s, s, 0), filmR(ratio * s, s, 0.8));
    let [low, high] = [0.01, 100];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (contrast(middle) < 0.98) low = middle;
      else high = middle;
    }
    expect(Math.abs(low - needed)).toBeLessThanOrEqual(0.05 + 1e-9);
  });

  it('refuses a pale backing without light', () => {
    expect(() => contrastRatio(0, 0)).toThrow(AppError);
    expect(() => contrastRatio(0, Number.NaN)).toThrow(AppError);
  });
});
