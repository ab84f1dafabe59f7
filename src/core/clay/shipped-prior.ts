import type { ClayClass } from './clay-class.ts';
import { PRIOR_DATA, PRIOR_HASH } from './prior.data.ts';
import type { ClassMean, LatentBasis, Prior } from './prior.ts';

export { PRIOR_HASH };

let shipped: Prior | undefined;

/**
 * The prior that the product learns with, from 46 measured paints.
 * Source:  data/pigments; written by tools/make-prior.ts; every clay model file holds its hash
 */
export function shippedPrior(): Prior {
  shipped ??= {
    absorption: basis(PRIOR_DATA.absorption),
    scattering: basis(PRIOR_DATA.scattering),
    means: {
      white: classMean(PRIOR_DATA.means.white),
      black: classMean(PRIOR_DATA.means.black),
      opaque: classMean(PRIOR_DATA.means.opaque),
      pastel: classMean(PRIOR_DATA.means.pastel),
      translucent: classMean(PRIOR_DATA.means.translucent),
      concentrate: classMean(PRIOR_DATA.means.concentrate),
    } satisfies Record<ClayClass, ClassMean>,
  };
  return shipped;
}

function basis(data: { shapes: number[][]; residual: number[] }): LatentBasis {
  return {
    shapes: data.shapes.map((shape) => Float64Array.from(shape)),
    residual: Float64Array.from(data.residual),
  };
}

interface ClassMeanData {
  lnAbsorption: number[];
  lnScattering: number[];
  strengthSpread: number;
  families?: { centres: number[][]; spread: number; broadShare: number };
}

function classMean({
  lnAbsorption,
  lnScattering,
  strengthSpread,
  families,
}: ClassMeanData): ClassMean {
  return {
    lnAbsorption: Float64Array.from(lnAbsorption),
    lnScattering: Float64Array.from(lnScattering),
    strengthSpread,
    ...(families === undefined
      ? {}
      : { families: { ...families, centres: families.centres.map((c) => Float64Array.from(c)) } }),
  };
}
