import { CholeskyDecomposition, EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { BANDS, GRID_STEP_NM } from '../colour/grid.ts';
import { labFromSpectrum } from '../colour/spaces.ts';
import { colourWeights } from '../colour/weights.ts';
import { invalidInput } from '../errors.ts';
import { reflectanceFromRatio } from '../optics/kubelka-munk.ts';
import { claySurface, measuredFromInternal } from '../optics/surface.ts';
import { type ClayClass, classFromMasstone } from './clay-class.ts';
import type { Families } from './families.ts';
import {
  ABSORPTION_LATENTS,
  type ClassMean,
  LATENTS,
  type LatentBasis,
  type Prior,
  SCATTERING_LATENTS,
} from './prior.ts';

/** A measured pigment or paint: K and S on the grid, relative to a white whose S is 1. */
export interface Pigment {
  readonly name: string;
  readonly absorption: Float64Array;
  readonly scattering: Float64Array;
}

/** Shares of white in the virtual dilutions, because clays are often sold already paled. */
const DILUTIONS = [0.5, 0.8, 0.95];
/** Weight of one dilution beside its undiluted pigment. */
const DILUTION_WEIGHT = 0.15;
/** Floor under measured K and S: smaller values are noise of the source. */
const FLOOR = 1e-4;
/**
 * Smooth departures that no pigment of the collection shows, so that a clay unlike all of them can
 * still be learned: standard deviation in ln K or ln S, and correlation length.
 */
const ABSORPTION_FREEDOM = [
  { spread: 0.35, lengthNm: 60 },
  { spread: 0.15, lengthNm: 20 },
];
const SCATTERING_FREEDOM = [
  { spread: 0.25, lengthNm: 80 },
  { spread: 0.06, lengthNm: 25 },
];
/**
 * Families: how far a pigment's centre is pulled to the mean, how wide its neighbourhood is, and
 *           how often a clay resembles none. Chosen by the likelihood of each pigment under the
 *           others.
 */
const FAMILY = { shrink: 0.8, spread: 0.75, broadShare: 0.2 };
const STRENGTH_SPREAD = 0.8;
/**
 * A concentrate holds about this many times the colour of an opaque clay, within a factor of e^1.5.
 */
const CONCENTRATE = { absorption: 15, strengthSpread: 1.5 };
/** A clear clay holds this share of the colour and of the scattering of an opaque one. */
const TRANSLUCENT = { absorption: 1 / 10, scattering: 1 / 30 };

/**
 * Builds the prior from measured pigments.
 * Shape:   any number of pigments with at least one white, one black and eight others
 * Units:   K and S relative to the S of white, 36 bands
 * Refuses: too few pigments -> invalid-input
 * Method:  class means of ln K and ln S; covariance of the departures of all pigments from their
 *          class mean, with virtual dilutions in white and smooth freedom added; the leading
 *          eigenvectors are the latent shapes, and what they do not explain is the residual
 *          variance
 * Source:  data/pigments (see SOURCES.md there); method: principal components, [Jolliffe2002]
 */
export function priorFromPigments(pigments: readonly Pigment[]): Prior {
  const byClass = new Map<ClayClass, Pigment[]>();
  for (const pigment of pigments) {
    const clayClass = classOfPigment(pigment);
    byClass.set(clayClass, [...(byClass.get(clayClass) ?? []), pigment]);
  }
  const whites = byClass.get('white') ?? [];
  const blacks = byClass.get('black') ?? [];
  const coloured = pigments.filter((p) => !whites.includes(p) && !blacks.includes(p));
  if (whites.length < 1 || blacks.length < 1 || coloured.length < 8) {
    throw invalidInput(
      `A prior needs a white, a black and eight colours; got ${whites.length}, ${blacks.length} and ${coloured.length}.`,
    );
  }
  const white = whites[0];
  const dilutions = coloured.flatMap((p) => DILUTIONS.map((share) => diluted(p, white, share)));
  const opaque = meanOf(coloured);
  const pastel = meanOf(dilutions);
  const black = meanOf(blacks);
  const samples = [
    ...coloured.map((p) => ({ pigment: p, mean: opaque, weight: 1 })),
    ...blacks.map((p) => ({ pigment: p, mean: black, weight: 1 })),
    ...dilutions.map((p) => ({ pigment: p, mean: pastel, weight: DILUTION_WEIGHT })),
  ];
  const shift = (curve: Float64Array, factor: number) => curve.map((v) => v + Math.log(factor));
  const absorption = latentBasis(
    samples.map((s) => ({ ...s, values: minus(ln(s.pigment.absorption), s.mean.lnAbsorption) })),
    ABSORPTION_FREEDOM,
    ABSORPTION_LATENTS,
  );
  const scattering = latentBasis(
    samples.map((s) => ({ ...s, values: minus(ln(s.pigment.scattering), s.mean.lnScattering) })),
    SCATTERING_FREEDOM,
    SCATTERING_LATENTS,
  );
  const familiesOf = (members: readonly Pigment[], mean: ClassMean): Families => ({
    centres: members.map((p) => {
      const centre = new Float64Array(LATENTS);
      centre.set(project(minus(ln(p.absorption), mean.lnAbsorption), absorption), 0);
      centre.set(
        project(minus(ln(p.scattering), mean.lnScattering), scattering),
        ABSORPTION_LATENTS,
      );
      return centre.map((v) => FAMILY.shrink * v);
    }),
    spread: FAMILY.spread,
    broadShare: FAMILY.broadShare,
  });
  const opaqueFamilies = familiesOf([...coloured, ...blacks], opaque);
  return {
    absorption,
    scattering,
    means: {
      white: meanOf(whites),
      black: { ...black, families: familiesOf([...coloured, ...blacks], black) },
      opaque: { ...opaque, families: opaqueFamilies },
      pastel: { ...pastel, families: familiesOf(dilutions, pastel) },
      translucent: {
        lnAbsorption: shift(opaque.lnAbsorption, TRANSLUCENT.absorption),
        lnScattering: shift(opaque.lnScattering, TRANSLUCENT.scattering),
        strengthSpread: STRENGTH_SPREAD,
      },
      concentrate: {
        lnAbsorption: shift(opaque.lnAbsorption, CONCENTRATE.absorption),
        lnScattering: opaque.lnScattering,
        strengthSpread: CONCENTRATE.strengthSpread,
        families: opaqueFamilies,
      },
    },
  };
}

/** Coefficients of the shapes that come closest to a curve, pulled to zero as their prior says. */
function project(curve: Float64Array, { shapes, residual }: LatentBasis): Float64Array {
  const n = shapes.length;
  const normal = Matrix.zeros(n, n);
  const right = Matrix.zeros(n, 1);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      let sum = i === j ? 1 : 0;
      for (let band = 0; band < BANDS; band++) {
        sum += (shapes[i][band] * shapes[j][band]) / (residual[band] + RESIDUAL_FLOOR);
      }
      normal.set(i, j, sum);
    }
    let sum = 0;
    for (let band = 0; band < BANDS; band++) {
      sum += (shapes[i][band] * curve[band]) / (residual[band] + RESIDUAL_FLOOR);
    }
    right.set(i, 0, sum);
  }
  return Float64Array.from(new CholeskyDecomposition(normal).solve(right).to1DArray());
}

/** Variance that keeps a band without residual from dominating a projection. */
const RESIDUAL_FLOOR = 1e-4;

/** Class of a pigment by the colour of its masstone. */
export function classOfPigment(pigment: Pigment): ClayClass {
  const surface = claySurface('included');
  const masstone = new Float64Array(BANDS);
  for (let band = 0; band < BANDS; band++) {
    const inside = reflectanceFromRatio(pigment.absorption[band] / pigment.scattering[band]);
    masstone[band] = measuredFromInternal(inside, surface);
  }
  return classFromMasstone(labFromSpectrum(masstone, colourWeights('D50', 2)));
}

function diluted(pigment: Pigment, white: Pigment, share: number): Pigment {
  const blend = (a: Float64Array, b: Float64Array) =>
    a.map((v, i) => (1 - share) * v + share * b[i]);
  return {
    name: pigment.name,
    absorption: blend(pigment.absorption, white.absorption),
    scattering: blend(pigment.scattering, white.scattering),
  };
}

function meanOf(pigments: readonly Pigment[]): ClassMean {
  const average = (curves: Float64Array[]) =>
    Float64Array.from({ length: BANDS }, (_, band) => {
      let sum = 0;
      for (const curve of curves) sum += curve[band];
      return sum / curves.length;
    });
  return {
    lnAbsorption: average(pigments.map((p) => ln(p.absorption))),
    lnScattering: average(pigments.map((p) => ln(p.scattering))),
    strengthSpread: STRENGTH_SPREAD,
  };
}

function latentBasis(
  samples: readonly { values: Float64Array; weight: number }[],
  freedom: readonly { spread: number; lengthNm: number }[],
  count: number,
): LatentBasis {
  let total = 0;
  for (const { weight } of samples) total += weight;
  const covariance = Matrix.zeros(BANDS, BANDS);
  for (let a = 0; a < BANDS; a++) {
    for (let b = 0; b < BANDS; b++) {
      let sum = 0;
      for (const { values, weight } of samples) sum += weight * values[a] * values[b];
      let value = sum / total;
      for (const { spread, lengthNm } of freedom) {
        const distance = ((a - b) * GRID_STEP_NM) / lengthNm;
        value += spread ** 2 * Math.exp(-0.5 * distance * distance);
      }
      covariance.set(a, b, value);
    }
  }
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(covariance, {
    assumeSymmetric: true,
  });
  const order = realEigenvalues
    .map((_, i) => i)
    .sort((a, b) => realEigenvalues[b] - realEigenvalues[a]);
  const shapes = order.slice(0, count).map((column) => {
    const scale = Math.sqrt(Math.max(0, realEigenvalues[column]));
    const shape = Float64Array.from(
      { length: BANDS },
      (_, band) => scale * eigenvectorMatrix.get(band, column),
    );
    // The sign of an eigenvector is arbitrary; fix it so that the same data give the same file.
    const sign = shape.reduce((sum, v) => sum + v, 0) < 0 ? -1 : 1;
    return shape.map((v) => sign * v);
  });
  const residual = Float64Array.from({ length: BANDS }, (_, band) => {
    let left = covariance.get(band, band);
    for (const shape of shapes) left -= shape[band] ** 2;
    return Math.max(0, left);
  });
  return { shapes, residual };
}

function ln(curve: Float64Array): Float64Array {
  return curve.map((v) => Math.log(Math.max(v, FLOOR)));
}

function minus(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((v, i) => v - b[i]);
}
