import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import { plusMinusOf } from '../verdict/verdict.ts';
import { photoQuality } from './photo-quality.ts';

const LABS: readonly Lab[] = [
  [50, 10, 10],
  [54, 8, 13],
  [46, 12, 9],
];

/** Every tile errs by `own` an axis alone and by `shared` together with the others. */
function covarianceOf(own: number, shared: number): Float64Array {
  const size = 3 * LABS.length;
  return Float64Array.from({ length: size * size }, (_, k) => {
    const [row, column] = [Math.floor(k / size), k % size];
    if (row % 3 !== column % 3) return 0;
    return shared ** 2 + (row === column ? own ** 2 : 0);
  });
}

const all = [true, true, true];

describe('photoQuality', () => {
  it('has no doubt of differences where all tiles share one error', () => {
    const { colours, differences } = photoQuality(LABS, covarianceOf(0, 2), all);
    expect(differences).toBeCloseTo(0, 3);
    expect(colours).toBeGreaterThan(0.8);
  });

  it('finds differences of tiles with separate errors less certain than the tiles', () => {
    const { colours, differences } = photoQuality(LABS, covarianceOf(1, 0), all);
    // Variances of two independent errors add up; the metric differs a little from tile to tile.
    expect(differences! / colours!).toBeGreaterThan(1.3);
    expect(differences! / colours!).toBeLessThan(1.53);
  });

  it('compares only similar colours', () => {
    const apart: readonly Lab[] = [LABS[0], [20, -40, 30]];
    const two = covarianceOf(1, 0).filter((_, k) => k % 9 < 6 && k < 54);
    expect(photoQuality(apart, two, all).differences).toBeUndefined();
  });

  it('is the ± of the one tile that counts', () => {
    const quality = photoQuality(LABS, covarianceOf(1, 0.5), [false, true, false]);
    const one = Float64Array.of(1.25, 0, 0, 0, 1.25, 0, 0, 0, 1.25);
    expect(quality.colours).toBeCloseTo(plusMinusOf(LABS[1], one), 10);
    expect(quality.differences).toBeUndefined();
  });

  it('says nothing of a photo without a tile', () => {
    expect(photoQuality([], new Float64Array(0), [])).toEqual({});
  });
});
