import { BANDS } from '../colour/grid.ts';
import type { ClayClass } from './clay-class.ts';
import type { Families } from './families.ts';

/** Latent coefficients of one clay: 14 shape ln K, 9 shape ln S, 1 moves both (strength). */
export const ABSORPTION_LATENTS = 14;
export const SCATTERING_LATENTS = 9;
export const LATENTS = ABSORPTION_LATENTS + SCATTERING_LATENTS + 1;
export const STRENGTH_LATENT = LATENTS - 1;

/** Shapes that a logarithm of K or S may take around its mean, one standard deviation each. */
export interface LatentBasis {
  /** `shapes[j]`: 36 values; a coefficient of 1 adds them to the logarithm. */
  readonly shapes: readonly Float64Array[];
  /** Variance per band that the shapes do not explain. */
  readonly residual: Float64Array;
}

/**
 * What is expected of a clay before any of its tiles was read: ln K and ln S are a mean by class
 * plus latent coefficients (independent, standard normal) times shapes, plus a strength shared by
 * both. K and S are nearly uncorrelated between measured pigments (-0.13), so each has its own
 * shapes.
 */
export interface Prior {
  readonly absorption: LatentBasis;
  readonly scattering: LatentBasis;
  readonly means: Readonly<Record<ClayClass, ClassMean>>;
}

export interface ClassMean {
  readonly lnAbsorption: Float64Array;
  readonly lnScattering: Float64Array;
  /**
   * Standard deviation of the strength: of ln K and ln S together, or of ln K alone for a
   * concentrate, whose colour is packed densely while its scattering is lost in the clay it colours.
   */
  readonly strengthSpread: number;
  /**
   * Families of measured pigments around this mean; none for white, because few whites were
   * measured.
   */
  readonly families?: Families;
}

/** Absorption and scattering of one clay on the grid, per unit of part, relative to white S = 1. */
export interface Coefficients {
  readonly absorption: Float64Array;
  readonly scattering: Float64Array;
}

/** ln K and ln S -> K and S from latent coefficients (24 values). */
export function coefficientsFromLatent(
  prior: Prior,
  clayClass: ClayClass,
  latent: ArrayLike<number>,
): Coefficients {
  const mean = prior.means[clayClass];
  const strength = latent[STRENGTH_LATENT] * prior.means[clayClass].strengthSpread;
  return {
    absorption: exponential(mean.lnAbsorption, prior.absorption.shapes, latent, 0, strength),
    scattering: exponential(
      mean.lnScattering,
      prior.scattering.shapes,
      latent,
      ABSORPTION_LATENTS,
      clayClass === 'concentrate' ? 0 : strength,
    ),
  };
}

function exponential(
  mean: Float64Array,
  shapes: readonly Float64Array[],
  latent: ArrayLike<number>,
  from: number,
  strength: number,
): Float64Array {
  const out = new Float64Array(BANDS);
  for (let band = 0; band < BANDS; band++) {
    let sum = mean[band] + strength;
    for (let j = 0; j < shapes.length; j++) sum += shapes[j][band] * latent[from + j];
    out[band] = Math.exp(sum);
  }
  return out;
}
