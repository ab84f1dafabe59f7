import { backward, choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import { type BlockFactor, dotOfSolved, sizeOfBlock, solveLower } from './block-cholesky.ts';

/**
 * Pigments come in families: a red is like other reds and not like the mean of all colours. The
 * prior of a clay is therefore a mixture of narrow Gaussians around measured pigments and one broad
 * Gaussian for clays that resemble none. The fit keeps one Gaussian per clay: the mixture
 * reweighted by how well each component agrees with the clay's own tiles.
 */
export interface Families {
  /** Latent coefficients of each pigment, pulled towards the mean. */
  readonly centres: readonly Float64Array[];
  /** Standard deviation of a latent coefficient around its centre. */
  readonly spread: number;
  /** Probability that a clay resembles none of them. */
  readonly broadShare: number;
}

/** Gaussian belief about the latent coefficients of one clay, before its tiles. */
export interface Belief {
  readonly mean: Float64Array;
  readonly precision: Float64Array;
}

/**
 * Belief about a clay once its tiles have shown its family.
 * Shape:   latent mean n, covariance n x n by rows, belief so far n -> belief n
 * Method:  the likelihood of the tiles alone is the posterior divided by the belief so far; each
 *          component is weighted by its overlap with it; mean and variance of the mixture so
 *          weighted are the new belief (one round of assumed-density filtering, [Minka2001])
 */
export function beliefFromFamilies(
  families: Families,
  free: Belief,
  before: Belief,
  mean: Float64Array,
  covariance: Float64Array,
  locked: readonly number[],
): Belief {
  const n = mean.length;
  const posteriorPrecision = inverseOfPositive(covariance, n);
  const likelihood = Float64Array.from(posteriorPrecision);
  const information = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    likelihood[i * n + i] -= before.precision[i];
    for (let j = 0; j < n; j++) information[i] += posteriorPrecision[i * n + j] * mean[j];
    information[i] -= before.precision[i] * before.mean[i];
  }
  const components = [
    { centre: free.mean, precision: free.precision, share: families.broadShare },
    ...families.centres.map((centre) => ({
      centre,
      precision: free.precision.map((p, i) => (locked.includes(i) ? p : p / families.spread ** 2)),
      share: (1 - families.broadShare) / families.centres.length,
    })),
  ];
  const evidence = components.map(
    ({ centre, precision, share }) =>
      Math.log(share) + logOverlap(likelihood, information, centre, precision, n),
  );
  const largest = Math.max(...evidence);
  const weights = evidence.map((e) => Math.exp(e - largest));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const newMean = new Float64Array(n);
  components.forEach(({ centre }, c) => {
    for (let i = 0; i < n; i++) newMean[i] += (weights[c] / total) * centre[i];
  });
  // The variance is summed about the mean; subtracting the squared mean would cancel where one
  // family is certain.
  const variance = new Float64Array(n);
  components.forEach(({ centre, precision }, c) => {
    for (let i = 0; i < n; i++) {
      const apart = centre[i] - newMean[i];
      variance[i] += (weights[c] / total) * (1 / precision[i] + apart * apart);
    }
  });
  return { mean: newMean, precision: variance.map((v) => 1 / v) };
}

/**
 * ln of the integral of a likelihood exp(-zᵀAz/2 + bᵀz) against a Gaussian, up to a constant that
 * all share.
 */
function logOverlap(
  likelihood: Float64Array,
  information: Float64Array,
  centre: Float64Array,
  precision: Float64Array,
  n: number,
): number {
  const sum = Float64Array.from(likelihood);
  const vector = new Float64Array(n);
  let value = 0;
  for (let i = 0; i < n; i++) {
    sum[i * n + i] += precision[i];
    vector[i] = information[i] + precision[i] * centre[i];
    value += Math.log(precision[i]) / 2 - (precision[i] * centre[i] ** 2) / 2;
  }
  choleskyInPlace(sum, n);
  forward(sum, vector, n, 1);
  for (let i = 0; i < n; i++) value += vector[i] ** 2 / 2 - Math.log(sum[i * n + i]);
  return value;
}

/** Covariance of one block of unknowns at the optimum, size x size by rows. */
export function blockCovariance(factor: BlockFactor, block: number): Float64Array {
  const n = sizeOfBlock(factor, block);
  const solved = Array.from({ length: n }, (_, i) => {
    const unit = new Float64Array(n);
    unit[i] = 1;
    return solveLower(factor, new Map([[block, unit]]));
  });
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      const sum = dotOfSolved(solved[i], solved[j]);
      out[i * n + j] = sum;
      out[j * n + i] = sum;
    }
  }
  return out;
}

/** Inverse of a symmetric positive definite matrix, n x n by rows. */
export function inverseOfPositive(matrix: Float64Array, n: number): Float64Array {
  const lower = Float64Array.from(matrix);
  choleskyInPlace(lower, n);
  const out = new Float64Array(n * n);
  for (let c = 0; c < n; c++) {
    const x = new Float64Array(n);
    x[c] = 1;
    forward(lower, x, n, 1);
    backward(lower, x, n);
    for (let r = 0; r < n; r++) out[r * n + c] = x[r];
  }
  return out;
}
