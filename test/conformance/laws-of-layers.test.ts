/**
 * Identities that hold for every layer and every mix of any clays: they follow from two-flux
 * theory, the sums of Duncan and arithmetic, without measured numbers. Each is tested over seeded
 * random clays.
 */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ClayClass } from '../../src/core/clay/clay-class.ts';
import { type ClayShare, mixSlopes, type SharedPhysics } from '../../src/core/clay/mixture.ts';
import type { Coefficients } from '../../src/core/clay/prior.ts';
import { BANDS } from '../../src/core/colour/grid.ts';
import { xyzFromSpectrum } from '../../src/core/colour/spaces.ts';
import { colourWeights } from '../../src/core/colour/weights.ts';
import type { MixNode } from '../../src/core/mixes/mix-graph.ts';
import { mixResolver } from '../../src/core/mixes/resolve-mix.ts';
import { filmReflectance } from '../../src/core/optics/kubelka-munk.ts';
import { claySurface, internalFromMeasured } from '../../src/core/optics/surface.ts';
import { between, decades } from './uniform.ts';

const RUNS = { seed: 1931, numRuns: 200 };
/** Sums of a few dozen numbers in another order. */
const ROUNDING = 1e-12;
const PLAIN: SharedPhysics = { dilution: 0, shareExponent: 0, scatteringPerMm: 20 };
const SURFACE = claySurface('included');

const film = (k: number, s: number, backing: number) =>
  filmReflectance(k, s, backing, {
    reflectance: 0,
    slopeLogAbsorption: 0,
    slopeLogScattering: 0,
  }).reflectance;

/** A clay of random K and S, band by band. */
const clay = fc
  .tuple(
    fc.array(decades(-3, 1), { minLength: BANDS, maxLength: BANDS }),
    fc.array(decades(-2, 0.5), { minLength: BANDS, maxLength: BANDS }),
  )
  .map(
    ([k, s]): Coefficients => ({
      absorption: Float64Array.from(k),
      scattering: Float64Array.from(s),
    }),
  );
const stock = fc.array(clay, { minLength: 4, maxLength: 4 });
const counts = fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 4, maxLength: 4 });
const WHITE_FIRST: readonly ClayClass[] = ['white', 'opaque', 'opaque', 'opaque'];

function sharesOf(parts: readonly number[]): ClayShare[] {
  const total = parts.reduce((sum, n) => sum + n, 0);
  return parts.map((n, clay) => ({ clay, share: n / total }));
}

function reflectance(
  parts: readonly ClayShare[],
  clays: readonly Coefficients[],
  classes: readonly ClayClass[] = WHITE_FIRST,
  physics: SharedPhysics = PLAIN,
  film?: { thicknessMm: number; backing: Float64Array },
): Float64Array {
  return mixSlopes(parts, clays, classes, physics, SURFACE, film).reflectance;
}

function scaled({ absorption, scattering }: Coefficients, by: number): Coefficients {
  return { absorption: absorption.map((v) => v * by), scattering: scattering.map((v) => v * by) };
}

function blended(parts: readonly ClayShare[], clays: readonly Coefficients[]): Coefficients {
  const sum = (of: (c: Coefficients) => Float64Array) =>
    Float64Array.from({ length: BANDS }, (_, band) =>
      parts.reduce((all, { clay, share }) => all + share * of(clays[clay])[band], 0),
    );
  return { absorption: sum((c) => c.absorption), scattering: sum((c) => c.scattering) };
}

function expectNear(one: Float64Array, other: Float64Array, by = ROUNDING): void {
  one.forEach((v, band) => {
    expect(Math.abs(v - other[band])).toBeLessThanOrEqual(by);
  });
}

describe('a film', () => {
  // Kubelka 1948: the reflectance over a backing is R0 + T^2 Rg / (1 - R0 Rg), T the transmittance.
  const letThrough = (k: number, s: number, backing: number) => {
    const bare = film(k, s, 0);
    return Math.sqrt(Math.max(0, ((film(k, s, backing) - bare) * (1 - bare * backing)) / backing));
  };

  it('lets the same light through over every backing', () => {
    fc.assert(
      fc.property(decades(-4, 0.5), decades(-4, 1), between(0.1, 1), (k, s, backing) => {
        const through = letThrough(k, s, 1);
        // The transmittance is squared on the way back: below this, only rounding remains.
        if (through < 1e-3) return;
        expect(Math.abs(letThrough(k, s, backing) - through)).toBeLessThan(1e-8);
      }),
      RUNS,
    );
  });

  it('sends back or lets through all the light where nothing absorbs, and loses some where something does', () => {
    fc.assert(
      fc.property(decades(-4, 2), decades(-4, 0.5), (s, k) => {
        expect(film(0, s, 0) + letThrough(0, s, 1)).toBeCloseTo(1, 7);
        expect(film(k, s, 0) + letThrough(k, s, 1)).toBeLessThan(1);
      }),
      RUNS,
    );
  });

  it('of half the thickness and twice the strength is the same film', () => {
    fc.assert(
      fc.property(
        stock,
        counts,
        between(0.05, 3),
        between(0, 1),
        decades(-2, 2),
        (clays, n, mm, r, by) => {
          const parts = sharesOf(n);
          const backing = new Float64Array(BANDS).fill(r);
          const own = reflectance(parts, clays, WHITE_FIRST, PLAIN, { thicknessMm: mm, backing });
          const stronger = clays.map((c) => scaled(c, by));
          expectNear(
            reflectance(parts, stronger, WHITE_FIRST, PLAIN, { thicknessMm: mm / by, backing }),
            own,
            1e-11,
          );
          const perMm = { ...PLAIN, scatteringPerMm: PLAIN.scatteringPerMm * by };
          expectNear(
            reflectance(parts, clays, WHITE_FIRST, perMm, { thicknessMm: mm / by, backing }),
            own,
            1e-11,
          );
        },
      ),
      RUNS,
    );
  });

  it('grows lighter over black with every mm, and darker over white', () => {
    fc.assert(
      fc.property(
        decades(-3, 0.5),
        decades(-2, 1),
        decades(-2, 1),
        between(1.01, 4),
        (k, s, x, by) => {
          expect(film(k * x * by, s * x * by, 0)).toBeGreaterThan(film(k * x, s * x, 0) - ROUNDING);
          expect(film(k * x * by, s * x * by, 1)).toBeLessThan(film(k * x, s * x, 1) + ROUNDING);
        },
      ),
      RUNS,
    );
  });
});

describe('a mix', () => {
  it('has no unit of its own: all K and S on another scale, it looks the same', () => {
    fc.assert(
      fc.property(stock, counts, decades(-3, 3), (clays, n, by) => {
        const own = reflectance(sharesOf(n), clays);
        expectNear(
          reflectance(
            sharesOf(n),
            clays.map((c) => scaled(c, by)),
          ),
          own,
        );
      }),
      RUNS,
    );
  });

  it('looks the same with one clay in two lots that are alike, whatever is in which', () => {
    fc.assert(
      fc.property(stock, counts, between(0, 1), between(-0.1, 0.1), (clays, n, apart, dilution) => {
        const whole = sharesOf(n);
        const [first, second, ...rest] = whole;
        const split = [
          first,
          { clay: 1, share: second.share * apart },
          { clay: 4, share: second.share * (1 - apart) },
          ...rest,
        ];
        const physics = { ...PLAIN, dilution };
        const two = [...clays, clays[1]];
        expectNear(
          reflectance(split, two, [...WHITE_FIRST, 'opaque'], physics),
          reflectance(whole, clays, WHITE_FIRST, physics),
        );
      }),
      RUNS,
    );
  });

  it('looks the same in whatever order its clays are numbered', () => {
    fc.assert(
      fc.property(
        stock,
        counts,
        fc.shuffledSubarray([0, 1, 2, 3], { minLength: 4, maxLength: 4 }),
        (clays, n, order) => {
          const own = reflectance(sharesOf(n), clays);
          const turned = reflectance(
            sharesOf(order.map((i) => n[i])),
            order.map((i) => clays[i]),
            order.map((i) => WHITE_FIRST[i]),
          );
          expectNear(turned, own);
        },
      ),
      RUNS,
    );
  });

  // K/S of a mix in first order, worked out separately: d(K/S) = share (k2 - K/S s2) / S.
  it('moves in proportion to a little of another clay', () => {
    fc.assert(
      fc.property(clay, clay, fc.integer({ min: 0, max: BANDS - 1 }), (one, other, band) => {
        const ratioAt = (share: number) => {
          const parts = [
            { clay: 0, share: 1 - share },
            { clay: 1, share },
          ];
          const seen = reflectance(parts, [one, other], ['opaque', 'opaque'])[band];
          const inside = internalFromMeasured(seen, SURFACE);
          return (1 - inside) ** 2 / (2 * inside);
        };
        const q = one.absorption[band] / one.scattering[band];
        const s = one.scattering[band];
        const move = (other.absorption[band] - q * other.scattering[band]) / s;
        const share = 1e-5;
        // The rest is of second order, and rounding of K/S where the clay is nearly white.
        const second = share * (1 + (other.absorption[band] + other.scattering[band]) / s) ** 2;
        const left = Math.abs((ratioAt(share) - ratioAt(0)) / share - move);
        expect(left).toBeLessThan(5 * second * (1 + q) + 1e-6 * (1 + Math.abs(move)));
      }),
      RUNS,
    );
  });

  it('of mixes is the mix of all their clays', () => {
    fc.assert(
      fc.property(stock, counts, counts, counts, (clays, first, second, third) => {
        const names = clays.map((_, i) => `b${i}`);
        const of = (n: readonly number[], clays: readonly string[]): MixNode => ({
          basis: 'volume',
          parts: clays.map((clay, i) => ({ clay, parts: n[i] })),
        });
        const mixes = new Map([
          ['m0', of(first, names)],
          ['m1', of(second, ['m0', names[0], names[3]])],
          ['m2', of(third, ['m1', 'm0', names[2]])],
        ]);
        const found = mixResolver({ blocks: new Map(names.map((n) => [n, {}])), mixes }).resolve(
          'm2',
        );
        if (found.status !== 'resolved') throw new Error(found.says);
        const flat = found.blocks.map(({ id, share }) => ({ clay: names.indexOf(id), share }));
        // The same mix made in steps: K and S of each step are those of its clays.
        const steps: Coefficients[] = [...clays];
        const step = (n: readonly number[], clays: readonly number[]) =>
          steps.push(
            blended(
              sharesOf(n.slice(0, clays.length)).map(({ share }, i) => ({
                clay: clays[i],
                share,
              })),
              steps,
            ),
          ) - 1;
        const m0 = step(first, [0, 1, 2, 3]);
        const m1 = step(second, [m0, 0, 3]);
        const m2 = step(third, [m1, m0, 2]);
        expectNear(
          reflectance([{ clay: 0, share: 1 }], [steps[m2]], ['opaque']),
          reflectance(flat, clays, WHITE_FIRST),
        );
      }),
      RUNS,
    );
  });
});

describe('light', () => {
  it('adds up: of two reflectances mixed in the eye XYZ are the mean', () => {
    const weights = colourWeights('FL11', 10);
    const spectrum = fc.array(between(0, 1), { minLength: BANDS, maxLength: BANDS });
    fc.assert(
      fc.property(spectrum, spectrum, between(0, 1), (one, other, share) => {
        const both = Float64Array.from(one, (v, i) => share * v + (1 - share) * other[i]);
        const [x, y] = [one, other].map((r) => xyzFromSpectrum(Float64Array.from(r), weights));
        xyzFromSpectrum(both, weights).forEach((v, i) => {
          expect(Math.abs(v - share * x[i] - (1 - share) * y[i])).toBeLessThan(ROUNDING);
        });
      }),
      RUNS,
    );
  });
});
