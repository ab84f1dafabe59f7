import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { PAINTS, trueSpectrum } from '../../../test/conformance/virtual-studio.ts';
import { BANDS } from '../colour/grid.ts';
import { claySurface } from '../optics/surface.ts';
import type { ClayClass } from './clay-class.ts';
import { type ClayShare, dilutionOf, type Film, mixSlopes, type SharedPhysics } from './mixture.ts';
import type { Coefficients } from './prior.ts';

const RUNS = { seed: 271828, numRuns: 40 };

const { white, black, red, blue, yellow } = PAINTS;
const COEFFICIENTS = [white, black, red, blue, yellow];
const CLASSES: ClayClass[] = ['white', 'black', 'opaque', 'opaque', 'concentrate'];
const IS_WHITE = CLASSES.map((clayClass) => clayClass === 'white');
const PLAIN: SharedPhysics = { dilution: 0, shareExponent: 0, scatteringPerMm: 20 };

/** Mixes of one to four of the five clays, with or without white. */
const mixes = fc
  .uniqueArray(fc.integer({ min: 0, max: 4 }), { minLength: 1, maxLength: 4 })
  .chain((clays) =>
    fc
      .array(between(0.02, 1), {
        minLength: clays.length,
        maxLength: clays.length,
      })
      .map((raw): ClayShare[] => {
        const total = raw.reduce((sum, v) => sum + v, 0);
        return clays.map((clay, i) => ({ clay, share: raw[i] / total }));
      }),
  );
const physics = fc.record({
  dilution: between(-0.1, 0.15),
  shareExponent: between(-0.3, 0.4),
  scatteringPerMm: between(1, 60),
});
const films = fc.option(
  fc.record({
    thicknessMm: between(0.02, 3),
    backing: between(0, 1),
  }),
  { nil: undefined },
);
const surfaces = fc.constantFrom(claySurface('included'), claySurface('excluded'));

function reflectanceOf(
  parts: readonly ClayShare[],
  coefficients: readonly Coefficients[],
  p: SharedPhysics,
  surface = claySurface('included'),
  film?: Film,
): Float64Array {
  return mixSlopes(parts, coefficients, CLASSES, p, surface, film).reflectance;
}

/** Largest distance of a slope from central differences, by the largest slope of either. */
function distance(slope: Float64Array, at: (step: number) => Float64Array): number {
  const h = 1e-4;
  const [above, below] = [at(h), at(-h)];
  let largest = 0;
  let scale = 1e-3;
  for (let band = 0; band < BANDS; band++) {
    const central = (above[band] - below[band]) / (2 * h);
    scale = Math.max(scale, Math.abs(central));
    largest = Math.max(largest, Math.abs(slope[band] - central));
  }
  return largest / scale;
}
// Truncation h^2 / 6 of a third derivative up to some ten times the slope, rounding 1e-16 / h.
const CENTRAL = 1e-6;

describe('reflectance of a mix', () => {
  it('is that of the textbook formulas where nothing departs from them', () => {
    // Duncan 1940 for the mix, Kubelka 1948 for the film, Saunderson 1942, written out apart.
    fc.assert(
      fc.property(
        mixes,
        films,
        fc.constantFrom('included' as const, 'excluded' as const),
        (parts, f, geometry) => {
          const film = f && { ...f, backing: new Float64Array(BANDS).fill(f.backing) };
          const got = reflectanceOf(parts, COEFFICIENTS, PLAIN, claySurface(geometry), film);
          const expected = trueSpectrum(
            parts.map(({ clay, share }) => [COEFFICIENTS[clay], share] as const),
            { geometry, ...(f === undefined ? {} : { film: f }) },
          );
          for (let band = 0; band < BANDS; band++) {
            expect(Math.abs(got[band] - expected[band])).toBeLessThan(1e-10);
          }
        },
      ),
      RUNS,
    );
  });

  it('of parts of one and the same clay is that clay', () => {
    const twins = [red, red, red];
    const none: ClayClass[] = ['opaque', 'opaque', 'opaque'];
    const surface = claySurface('included');
    for (const p of [PLAIN, { dilution: 0.08, shareExponent: 0.15, scatteringPerMm: 5 }]) {
      const alone = mixSlopes([{ clay: 0, share: 1 }], twins, none, p, surface);
      const parts = [0.2, 0.5, 0.3].map((share, clay) => ({ clay, share }));
      const mix = mixSlopes(parts, twins, none, p, surface);
      mix.reflectance.forEach((v, band) => {
        expect(Math.abs(v - alone.reflectance[band])).toBeLessThan(1e-14);
      });
      // And more of one part changes nothing.
      for (const slope of mix.lnAmount)
        for (const v of slope) expect(Math.abs(v)).toBeLessThan(1e-14);
    }
  });

  it('does not move with more of all parts at once', () => {
    fc.assert(
      fc.property(mixes, physics, (parts, p) => {
        const { lnAmount } = mixSlopes(parts, COEFFICIENTS, CLASSES, p, claySurface('included'));
        for (let band = 0; band < BANDS; band++) {
          const all = parts.reduce((sum, { share }, i) => {
            // Slopes with ln amount sum to zero: only the ratios of amounts count.
            expect(share).toBeGreaterThan(0);
            return sum + lnAmount[i][band];
          }, 0);
          expect(Math.abs(all)).toBeLessThan(1e-13);
        }
      }),
      RUNS,
    );
  });

  it('of white alone, or without white, has no dilution of colour by white', () => {
    expect(dilutionOf([{ clay: 0, share: 1 }], IS_WHITE, 0.05)).toEqual({
      colourShare: 0,
      factor: 1,
    });
    const { factor } = dilutionOf(
      [
        { clay: 1, share: 0.4 },
        { clay: 2, share: 0.6 },
      ],
      IS_WHITE,
      0.05,
    );
    expect(factor).toBeCloseTo(1, 14);
    expect(
      dilutionOf(
        [
          { clay: 0, share: 0.9 },
          { clay: 2, share: 0.1 },
        ],
        IS_WHITE,
        0.05,
      ).factor,
    ).toBeCloseTo(0.1 ** 0.05, 14);
  });
});

describe('slopes of a mix', () => {
  const scaled = (c: Coefficients, curve: keyof Coefficients, step: number): Coefficients => ({
    ...c,
    [curve]: c[curve].map((v) => v * Math.exp(step)),
  });

  it('with ln K and ln S of each part are those of central differences', () => {
    fc.assert(
      fc.property(mixes, physics, surfaces, films, (parts, p, surface, f) => {
        const film = f && { ...f, backing: new Float64Array(BANDS).fill(f.backing) };
        const slopes = mixSlopes(parts, COEFFICIENTS, CLASSES, p, surface, film);
        parts.forEach(({ clay }, i) => {
          for (const [curve, slope] of [
            ['absorption', slopes.lnAbsorption[i]],
            ['scattering', slopes.lnScattering[i]],
          ] as const) {
            const at = (step: number) => {
              const moved = COEFFICIENTS.map((c, j) => (j === clay ? scaled(c, curve, step) : c));
              return reflectanceOf(parts, moved, p, surface, film);
            };
            expect(distance(slope, at)).toBeLessThan(CENTRAL);
          }
        });
      }),
      RUNS,
    );
  });

  it('with ln amount of each part, shares summing to 1 again, are those of central differences', () => {
    fc.assert(
      fc.property(mixes, physics, surfaces, films, (parts, p, surface, f) => {
        const film = f && { ...f, backing: new Float64Array(BANDS).fill(f.backing) };
        const { lnAmount } = mixSlopes(parts, COEFFICIENTS, CLASSES, p, surface, film);
        parts.forEach((_, i) => {
          const at = (step: number) => {
            const raw = parts.map(({ share }, j) => (j === i ? share * Math.exp(step) : share));
            const total = raw.reduce((sum, v) => sum + v, 0);
            const moved = parts.map(({ clay }, j) => ({ clay, share: raw[j] / total }));
            return reflectanceOf(moved, COEFFICIENTS, p, surface, film);
          };
          expect(distance(lnAmount[i], at)).toBeLessThan(CENTRAL);
        });
      }),
      RUNS,
    );
  });

  it('with the exponents and the scattering per mm are those of central differences', () => {
    fc.assert(
      fc.property(mixes, physics, surfaces, films, (parts, p, surface, f) => {
        const film = f && { ...f, backing: new Float64Array(BANDS).fill(f.backing) };
        const slopes = mixSlopes(parts, COEFFICIENTS, CLASSES, p, surface, film);
        const byDilution = (step: number) =>
          reflectanceOf(parts, COEFFICIENTS, { ...p, dilution: p.dilution + step }, surface, film);
        const byScale = (step: number) =>
          reflectanceOf(
            parts,
            COEFFICIENTS,
            { ...p, scatteringPerMm: p.scatteringPerMm * Math.exp(step) },
            surface,
            film,
          );
        const byShares = (step: number) =>
          reflectanceOf(
            parts,
            COEFFICIENTS,
            { ...p, shareExponent: p.shareExponent + step },
            surface,
            film,
          );
        expect(distance(slopes.dilution, byDilution)).toBeLessThan(CENTRAL);
        expect(distance(slopes.shareExponent, byShares)).toBeLessThan(CENTRAL);
        expect(distance(slopes.lnScatteringPerMm, byScale)).toBeLessThan(CENTRAL);
      }),
      RUNS,
    );
  });

  it('are finite where a clay absorbs or scatters nothing', () => {
    const nothing = new Float64Array(BANDS);
    const some = new Float64Array(BANDS).fill(0.5);
    for (const clay of [
      { absorption: nothing, scattering: some },
      { absorption: some, scattering: nothing },
      { absorption: nothing, scattering: nothing },
    ]) {
      for (const film of [undefined, { thicknessMm: 1, backing: some }]) {
        const slopes = mixSlopes(
          [{ clay: 0, share: 1 }],
          [clay],
          ['opaque'],
          PLAIN,
          claySurface('included'),
          film,
        );
        const all = [
          slopes.reflectance,
          ...slopes.lnAbsorption,
          ...slopes.lnScattering,
          ...slopes.lnAmount,
          slopes.dilution,
          slopes.lnScatteringPerMm,
        ];
        for (const curve of all) expect(curve.every(Number.isFinite)).toBe(true);
      }
    }
  });
});
