import { describe, expect, it } from 'vitest';
import { readPigments } from '../../../tools/pigments.ts';
import { BANDS } from '../colour/grid.ts';
import { labFromSpectrum, lchFromLab } from '../colour/spaces.ts';
import { colourWeights } from '../colour/weights.ts';
import { AppError } from '../errors.ts';
import { reflectanceFromRatio } from '../optics/kubelka-munk.ts';
import { claySurface, measuredFromInternal } from '../optics/surface.ts';
import { CLAY_CLASSES, type ClayClass } from './clay-class.ts';
import {
  ABSORPTION_LATENTS,
  coefficientsFromLatent,
  LATENTS,
  type LatentBasis,
  SCATTERING_LATENTS,
  STRENGTH_LATENT,
} from './prior.ts';
import { classOfPigment, priorFromPigments } from './prior-from-pigments.ts';
import { shippedPrior } from './shipped-prior.ts';

const pigments = readPigments();
const made = priorFromPigments(pigments);
const shipped = shippedPrior();
const pigment = (name: string) => pigments.find((p) => p.name === name)!;

/** ln K or ln S variance and covariance that a basis stands for. */
const covarianceOf = ({ shapes, residual }: LatentBasis, a: number, b: number) =>
  shapes.reduce((sum, shape) => sum + shape[a] * shape[b], a === b ? residual[a] : 0);

function masstone(clayClass: ClayClass): readonly [number, number, number] {
  const { absorption, scattering } = coefficientsFromLatent(
    shipped,
    clayClass,
    new Float64Array(LATENTS),
  );
  const spectrum = absorption.map((k, band) =>
    measuredFromInternal(reflectanceFromRatio(k / scattering[band]), claySurface('included')),
  );
  return labFromSpectrum(spectrum, colourWeights('D50', 2));
}

describe('shipped prior', () => {
  // Written with 6 digits; another machine's eigen-solver may differ in the last of them.
  const DIGITS = 1e-4;

  it.each(['absorption', 'scattering'] as const)(
    'is what its generator makes of the measured paints: %s',
    (kind) => {
      expect(shipped[kind].shapes).toHaveLength(made[kind].shapes.length);
      made[kind].shapes.forEach((shape, j) => {
        expect(apart(shape, shipped[kind].shapes[j])).toBeLessThan(DIGITS);
      });
      expect(apart(made[kind].residual, shipped[kind].residual)).toBeLessThan(DIGITS);
    },
  );

  it.each(CLAY_CLASSES)('is what its generator makes of the measured paints: %s', (clayClass) => {
    const [now, then] = [made.means[clayClass], shipped.means[clayClass]];
    expect(apart(now.lnAbsorption, then.lnAbsorption)).toBeLessThan(DIGITS);
    expect(apart(now.lnScattering, then.lnScattering)).toBeLessThan(DIGITS);
    expect(then.strengthSpread).toBe(now.strengthSpread);
    expect(then.families?.centres.length).toBe(now.families?.centres.length);
    now.families?.centres.forEach((centre, i) => {
      expect(apart(centre, then.families!.centres[i])).toBeLessThan(DIGITS);
    });
    expect(then.families?.spread).toBe(now.families?.spread);
    expect(then.families?.broadShare).toBe(now.families?.broadShare);
  });

  function apart(a: Float64Array, b: Float64Array): number {
    expect(b).toHaveLength(a.length);
    return Math.max(...a.map((v, i) => Math.abs(v - b[i])));
  }

  it('has as many shapes as latent coefficients, one left for the strength', () => {
    expect(shipped.absorption.shapes).toHaveLength(ABSORPTION_LATENTS);
    expect(shipped.scattering.shapes).toHaveLength(SCATTERING_LATENTS);
    expect(ABSORPTION_LATENTS + SCATTERING_LATENTS).toBe(STRENGTH_LATENT);
    expect(LATENTS).toBeLessThanOrEqual(24);
  });

  it('has means that look like their kind', () => {
    const [whiteL, whiteC] = lchFromLab(masstone('white'));
    expect(whiteL).toBeGreaterThan(92);
    expect(whiteC).toBeLessThan(6);
    const [blackL, blackC] = lchFromLab(masstone('black'));
    expect(blackL).toBeLessThan(32);
    expect(blackC).toBeLessThan(6);
    const [opaqueL] = masstone('opaque');
    const [pastelL] = masstone('pastel');
    const [concentrateL] = masstone('concentrate');
    expect(pastelL).toBeGreaterThan(opaqueL + 10);
    expect(concentrateL).toBeLessThan(opaqueL - 5);
    const clear = coefficientsFromLatent(shipped, 'translucent', new Float64Array(LATENTS));
    const opaque = coefficientsFromLatent(shipped, 'opaque', new Float64Array(LATENTS));
    clear.scattering.forEach((s, band) => {
      // Six digits are shipped.
      expect(s / opaque.scattering[band]).toBeCloseTo(1 / 30, 5);
    });
  });

  it('moves K and S together with the strength, K alone in a concentrate', () => {
    for (const clayClass of CLAY_CLASSES) {
      const stronger = new Float64Array(LATENTS);
      stronger[STRENGTH_LATENT] = 1;
      const [weak, strong] = [new Float64Array(LATENTS), stronger].map((latent) =>
        coefficientsFromLatent(shipped, clayClass, latent),
      );
      const factor = Math.exp(shipped.means[clayClass].strengthSpread);
      expect(strong.absorption[9] / weak.absorption[9]).toBeCloseTo(factor, 9);
      expect(strong.scattering[9] / weak.scattering[9]).toBeCloseTo(
        clayClass === 'concentrate' ? 1 : factor,
        9,
      );
    }
  });

  it('leaves little of any measured paint outside what its type allows', () => {
    // Root mean square of (ln K - mean) in standard deviations of the band: near 1 by construction.
    const coloured = pigments.filter((p) => classOfPigment(p) === 'opaque');
    let sum = 0;
    for (const { absorption } of coloured) {
      for (let band = 0; band < BANDS; band++) {
        const off = Math.log(absorption[band]) - shipped.means.opaque.lnAbsorption[band];
        sum += off ** 2 / covarianceOf(shipped.absorption, band, band);
      }
    }
    const size = Math.sqrt(sum / (coloured.length * BANDS));
    expect(size).toBeGreaterThan(0.6);
    expect(size).toBeLessThan(1.4);
  });
});

describe('prior from pigments', () => {
  it('separates white, black and colours of the measured paints', () => {
    expect(classOfPigment(pigment('Titanium White'))).toBe('white');
    expect(classOfPigment(pigment('Bone Black'))).toBe('black');
    expect(classOfPigment(pigment('Pyrrole Red'))).toBe('opaque');
    expect(classOfPigment(pigment('Bismuth Vanadate Yellow'))).toBe('opaque');
  });

  it('keeps the variance of the samples: shapes and residual add up to it at every band', () => {
    for (const kind of ['absorption', 'scattering'] as const) {
      const basis = made[kind];
      for (let band = 0; band < BANDS; band++) {
        expect(basis.residual[band]).toBeGreaterThanOrEqual(0);
        // What the shapes leave out is small compared with what they hold.
        expect(basis.residual[band]).toBeLessThan(0.05 * covarianceOf(basis, band, band));
      }
    }
  });

  it('has shapes at right angles, largest first, with a sign that does not depend on chance', () => {
    for (const { shapes } of [made.absorption, made.scattering]) {
      const sizes = shapes.map((shape) => shape.reduce((sum, v) => sum + v * v, 0));
      shapes.forEach((a, i) => {
        if (i > 0) expect(sizes[i]).toBeLessThanOrEqual(sizes[i - 1] * (1 + 1e-9));
        expect(a.reduce((sum, v) => sum + v, 0)).toBeGreaterThanOrEqual(0);
        for (let j = 0; j < i; j++) {
          const product = a.reduce((sum, v, band) => sum + v * shapes[j][band], 0);
          expect(Math.abs(product)).toBeLessThan(1e-9 * sizes[0]);
        }
      });
    }
  });

  it('does not depend on the order of the pigments, except for the first white', () => {
    const first = pigments.find((p) => classOfPigment(p) === 'white')!;
    const rest = pigments.filter((p) => p !== first);
    const other = priorFromPigments([first, ...rest.reverse()]);
    for (let band = 0; band < BANDS; band++) {
      expect(other.means.opaque.lnAbsorption[band]).toBeCloseTo(
        made.means.opaque.lnAbsorption[band],
        9,
      );
      expect(covarianceOf(other.absorption, band, 5)).toBeCloseTo(
        covarianceOf(made.absorption, band, 5),
        9,
      );
    }
  });

  it('refuses too few pigments, and none that is white or black', () => {
    expect(() => priorFromPigments([])).toThrow(AppError);
    expect(() => priorFromPigments(pigments.slice(0, 6))).toThrow(AppError);
    expect(() => priorFromPigments(pigments.filter((p) => classOfPigment(p) !== 'white'))).toThrow(
      AppError,
    );
    expect(() => priorFromPigments(pigments.filter((p) => classOfPigment(p) !== 'black'))).toThrow(
      AppError,
    );
  });
});
