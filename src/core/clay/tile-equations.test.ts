import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { BANDS } from '../colour/grid.ts';
import { colourWeights } from '../colour/weights.ts';
import { choleskyInPlace } from '../numeric/dense-cholesky.ts';
import { claySurface } from '../optics/surface.ts';
import type { ClayClass } from './clay-class.ts';
import { coefficientsOf, withEffectOffset } from './fit.ts';
import { mixSlopes } from './mixture.ts';
import { LATENTS } from './prior.ts';
import { shippedPrior } from './shipped-prior.ts';
import {
  type Observable,
  observer,
  type PreparedTile,
  SHARED,
  tileSlopes,
} from './tile-equations.ts';
import { distanceOf, trustOf } from './trust.ts';

const PRIOR = shippedPrior();
const CLASSES: ClayClass[] = ['white', 'opaque', 'black', 'concentrate', 'pastel'];
const PINNED = [true, false, false, false, false];
const [SHARED_BLOCK, COMBINATION, PHOTO] = [5, 6, 7];

const OBSERVABLES: Record<string, Observable> = {
  'Lab, D50': { kind: 'lab', weights: colourWeights('D50', 2) },
  'Lab, A, 10 degree': { kind: 'lab', weights: colourWeights('A', 10) },
  'some bands': { kind: 'bands', bands: [2, 3, 9, 17, 18, 30, 35] },
};

/** A tile of two to four clays with random unknowns near the middle of the prior. */
function randomTile(seed: number, observable: Observable, withFilm: boolean) {
  const random = randomFrom(seed);
  const members = [0, 1, 2, 3, 4].filter(() => random.uniform() < 0.6);
  while (members.length < 2) members.splice(0, members.length, 0, 1 + random.whole(0, 3));
  const raw = members.map(() => 0.1 + random.uniform());
  const total = raw.reduce((sum, v) => sum + v, 0);
  const film = {
    thicknessMm: 0.05 + random.uniform() / 4,
    backing: new Float64Array(BANDS).fill(0.8),
  };
  const tile: PreparedTile = {
    name: 'tile',
    parts: members.map((clay, i) => ({ clay, share: raw[i] / total })),
    observable,
    observed: new Float64Array(observable.kind === 'lab' ? 3 : observable.bands.length),
    spread: 0.5,
    surface: claySurface(0.5),
    glossLearned: true,
    ...(withFilm ? { film } : {}),
    partsSpread: 0.03,
    photoBlock: PHOTO,
    effects: [],
    combinationBlock: COMBINATION,
    mainPart: 0,
  };
  const sizes = [LATENTS, LATENTS, LATENTS, LATENTS, LATENTS, SHARED, members.length - 1, 3];
  const unknowns = sizes.map((size, block) =>
    Float64Array.from(
      { length: size },
      () => (block < SHARED_BLOCK ? 0.5 : 0.03) * random.normal(),
    ),
  );
  return { tile, unknowns };
}

/** The reading of the tile that its unknowns predict. */
function predicted(tile: PreparedTile, unknowns: readonly Float64Array[]) {
  const coefficients = CLASSES.map((c, i) => coefficientsOf(PRIOR, c, unknowns[i], PINNED[i]));
  const [dilution, lnScale, shareExponent, gloss] = unknowns[SHARED_BLOCK];
  const mix = mixSlopes(
    withEffectOffset(tile, unknowns),
    coefficients,
    CLASSES,
    { dilution, shareExponent, scatteringPerMm: 20 * Math.exp(lnScale) },
    claySurface(0.5 + gloss),
    tile.film,
  );
  return { mix, values: observer(tile.observable, mix.reflectance).predicted };
}

const slopesOf = (tile: PreparedTile, unknowns: readonly Float64Array[], extra = 0) =>
  tileSlopes(
    tile,
    predicted(tile, unknowns).mix,
    PRIOR,
    CLASSES,
    PINNED,
    { sharedBlock: SHARED_BLOCK, sharedSize: SHARED },
    extra,
  );

const cases = Object.keys(OBSERVABLES).flatMap((name) => [
  [name, 'opaque'],
  [name, 'film'],
]);

describe("slopes of a tile's reading", () => {
  it.each(cases)('%s, %s: every unknown as central differences give it', (name, kind) => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e9 }), (seed) => {
        const { tile, unknowns } = randomTile(seed, OBSERVABLES[name], kind === 'film');
        const { blocks, predicted: lab } = slopesOf(tile, unknowns);
        const d = lab.length;
        const h = 1e-4;
        for (const [block, jacobian] of blocks) {
          if (block === PHOTO) continue;
          const size = unknowns[block].length;
          expect(jacobian).toHaveLength(d * size);
          const scale = Math.max(1e-3, ...jacobian.map(Math.abs));
          for (let k = 0; k < size; k++) {
            const at = (step: number) =>
              predicted(
                tile,
                unknowns.map((u, b) =>
                  b === block ? u.map((v, i) => (i === k ? v + step : v)) : u,
                ),
              ).values;
            const [above, below] = [at(h), at(-h)];
            for (let r = 0; r < d; r++) {
              const central = (above[r] - below[r]) / (2 * h);
              // Truncation of h^2 with third derivatives of some ten times the slope.
              expect(Math.abs(jacobian[r * size + k] - central) / scale).toBeLessThan(2e-6);
            }
          }
        }
        const expected = [...tile.parts.map((part) => part.clay), SHARED_BLOCK, COMBINATION];
        if (tile.observable.kind === 'lab') expected.push(PHOTO);
        expect([...blocks.keys()].sort()).toEqual(expected.sort());
      }),
      { seed: 31415, numRuns: 12 },
    );
  });

  it('leaves strength and scattering of the reference white alone', () => {
    const { tile, unknowns } = randomTile(7, OBSERVABLES['some bands'], false);
    const both = {
      ...tile,
      parts: [
        { clay: 0, share: 0.7 },
        { clay: 3, share: 0.3 },
      ],
    };
    const at = unknowns.map((u, block) => (block === COMBINATION ? Float64Array.of(0) : u));
    const white = slopesOf(both, at).blocks.get(0)!;
    for (let r = 0; r < 7; r++) {
      // 14 shapes of ln K, then 9 of ln S and the strength.
      for (let k = 14; k < LATENTS; k++) expect(white[r * LATENTS + k]).toBe(0);
    }
  });

  it('moves with a photo as the photo moves', () => {
    const { tile, unknowns } = randomTile(8, OBSERVABLES['Lab, D50'], false);
    expect([...slopesOf(tile, unknowns).blocks.get(PHOTO)!]).toEqual([1, 0, 0, 0, 1, 0, 0, 0, 1]);
  });
});

describe('noise of a tile', () => {
  it.each(Object.keys(OBSERVABLES))(
    '%s: is symmetric and positive definite, more with less exact parts',
    (name) => {
      fc.assert(
        fc.property(fc.integer({ min: 1, max: 1e9 }), (seed) => {
          const { tile, unknowns } = randomTile(seed, OBSERVABLES[name], false);
          const exact = slopesOf({ ...tile, partsSpread: 0 }, unknowns).noise;
          const rough = slopesOf({ ...tile, partsSpread: 0.1 }, unknowns).noise;
          const d = Math.sqrt(exact.length);
          for (let a = 0; a < d; a++) {
            for (let b = 0; b < a; b++) {
              expect(Math.abs(exact[a * d + b] - exact[b * d + a])).toBeLessThan(
                1e-12 * exact[a * d + a] + 1e-15,
              );
            }
            expect(rough[a * d + a]).toBeGreaterThanOrEqual(exact[a * d + a]);
          }
          expect(() => choleskyInPlace(Float64Array.from(rough), d)).not.toThrow();
        }),
        { seed: 161, numRuns: 20 },
      );
    },
  );

  it('holds at least the reading own spread, and that added to it', () => {
    const { tile, unknowns } = randomTile(9, OBSERVABLES['Lab, D50'], false);
    const plain = slopesOf(tile, unknowns, 0).noise;
    const more = slopesOf(tile, unknowns, 3).noise;
    for (const axis of [0, 4, 8]) {
      expect(plain[axis]).toBeGreaterThanOrEqual(0.25);
      expect(more[axis] - plain[axis]).toBeCloseTo(9, 10);
    }
  });

  it('whitens a residual: its squared length is m^T N^-1 m', () => {
    const { tile, unknowns } = randomTile(10, OBSERVABLES['Lab, D50'], false);
    const slopes = slopesOf(tile, unknowns);
    const residual = Float64Array.of(1, -2, 0.5);
    const n = slopes.noise;
    // Inverse of the 3 x 3 by cofactors.
    const [a, b, c, d, e, f] = [n[0], n[1], n[2], n[4], n[5], n[8]];
    const determinant = a * (d * f - e * e) - b * (b * f - c * e) + c * (b * e - c * d);
    const adjugate = [
      [d * f - e * e, c * e - b * f, b * e - c * d],
      [c * e - b * f, a * f - c * c, b * c - a * e],
      [b * e - c * d, b * c - a * e, a * d - b * b],
    ];
    let expected = 0;
    for (let r = 0; r < 3; r++) {
      for (let k = 0; k < 3; k++)
        expected += (residual[r] * adjugate[r][k] * residual[k]) / determinant;
    }
    const { roots } = trustOf([{ tile, slopes, residual }], false);
    expect(distanceOf(roots[0], residual)).toBeCloseTo(expected, 9);
  });
});
