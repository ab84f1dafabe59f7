import { EigenvalueDecomposition, inverse, Matrix } from 'ml-matrix';
import { type BlockFactor, dotOfSolved, solveLower } from '../clay/block-cholesky.ts';
import type { ClayModel } from '../clay/clay-model.ts';
import { widening } from '../clay/data-quality.ts';
import { blockCovariance } from '../clay/families.ts';
import { type ClayShare, sharesOfParts } from '../clay/mixture.ts';
import { mixInUnknowns, type Predictor } from '../clay/predict.ts';
import { LATENTS } from '../clay/prior.ts';
import { colourWeights } from '../colour/weights.ts';
import { choleskyInPlace } from '../numeric/dense-cholesky.ts';

/** A combination of the unknowns of one block; undefined where nothing varies. */
export interface BeliefDirection {
  readonly block: number;
  readonly at: Float64Array | undefined;
}

/** Standard deviations of the unknowns of one block. */
export function deviations({ factor }: ClayModel, block: number): Float64Array {
  const covariance = blockCovariance(factor, block);
  const size = Math.sqrt(covariance.length);
  return Float64Array.from({ length: size }, (_, i) => Math.sqrt(covariance[i * (size + 1)]));
}

/**
 * The directions of the belief about one clay that move the colours of its mixes most.
 * Shape:   at most `count` modes of 24 latent coefficients, one standard deviation each, and for each the
 *          combination of latent coefficients that measures it
 */
export function clayDirections(
  predictor: Predictor,
  clay: number,
  count: number,
): { readonly modes: readonly Float64Array[]; readonly directions: readonly BeliefDirection[] } {
  const covariance = beliefOf(predictor, clay);
  for (let i = 0; i < LATENTS; i++) covariance[i * (LATENTS + 1)] += LEAST_VARIANCE;
  choleskyInPlace(covariance, LATENTS);
  const root = new Matrix(rowsOf(covariance));
  const moved = new Matrix(slopesOf(predictor, clay)).mmul(root);
  const { eigenvectorMatrix, realEigenvalues } = new EigenvalueDecomposition(
    moved.transpose().mmul(moved),
    { assumeSymmetric: true },
  );
  const back = inverse(root);
  const ranked = realEigenvalues
    .map((value, column) => ({ value: Math.max(0, value), column }))
    .sort((one, other) => other.value - one.value);
  const moves = (some: typeof ranked) => some.reduce((sum, { value }) => sum + value, 0);
  const main = ranked.slice(0, count);
  // What is left out moves colours too: those that stay are wider for it.
  const wider = moves(main) > 0 ? Math.sqrt(moves(ranked) / moves(main)) : 1;
  const largest = main.map(({ column }) => eigenvectorMatrix.subMatrixColumn([column]));
  return {
    modes: largest.map((vector) => Float64Array.from(root.mmul(vector).mul(wider).to1DArray())),
    directions: largest.map((vector) => ({
      block: clay,
      at: Float64Array.from(vector.transpose().mmul(back).to1DArray()),
    })),
  };
}

/** Keeps a belief invertible where tiles settled a coefficient. */
const LEAST_VARIANCE = 1e-9;

/**
 * How directions go together: correlations by rows.
 * Holds:   1 on the diagonal; a direction in which nothing varies goes with none
 */
export function correlations(factor: BlockFactor, all: readonly BeliefDirection[]): Float64Array {
  const solved = all.map(({ block, at }) =>
    at === undefined ? [] : solveLower(factor, new Map([[block, at]])),
  );
  const deviation = solved.map((one) => Math.sqrt(dotOfSolved(one, one)));
  const count = all.length;
  const out = new Float64Array(count * count);
  for (let i = 0; i < count; i++) {
    out[i * (count + 1)] = 1;
    for (let j = 0; j < i; j++) {
      const scale = deviation[i] * deviation[j];
      const value = scale > 0 ? dotOfSolved(solved[i], solved[j]) / scale : 0;
      out[i * count + j] = value;
      out[j * count + i] = value;
    }
  }
  return out;
}

function beliefOf({ model, alternatives = [] }: Predictor, clay: number): Float64Array {
  const own = model.clays[clay];
  const factor = widening(own);
  const covariance = blockCovariance(model.factor, clay).map((v) => v * factor);
  for (const { clays, probability } of alternatives) {
    const apart = clays[clay].latent.map((v, i) => v - own.latent[i]);
    for (let i = 0; i < LATENTS; i++) {
      for (let j = 0; j < LATENTS; j++) {
        covariance[i * LATENTS + j] += probability * apart[i] * apart[j];
      }
    }
  }
  return covariance;
}

/** Companions of a clay in the mixes it is looked at in. */
const MOST_COMPANIONS = 8;
/** Parts of the clay and of its companion. */
const RATIOS = [
  [1, 1],
  [1, 5],
  [3, 1],
] as const;

/** Slopes of Lab with the latent coefficients of a clay: alone, and in mixes with other clays. */
function slopesOf(predictor: Predictor, clay: number): number[][] {
  const { clays } = predictor.model;
  const others = clays.flatMap((_, other) => (other === clay ? [] : [other]));
  const step = Math.max(1, Math.ceil(others.length / MOST_COMPANIONS));
  const whites = others.filter((other) => clays[other].clayClass === 'white').slice(0, 1);
  const companions = new Set([...whites, ...others.filter((_, i) => i % step === 0)]);
  const mixes: ClayShare[][] = [
    [{ clay, share: 1 }],
    ...[...companions].flatMap((other) =>
      RATIOS.map(([own, rest]) =>
        sharesOfParts([
          { clay, parts: own },
          { clay: other, parts: rest },
        ]),
      ),
    ),
  ];
  const options = { weights: colourWeights('D50', 2), partsSpread: 0 };
  return mixes.flatMap((mix) => rowsOf(mixInUnknowns(predictor, mix, options).blocks.get(clay)!));
}

function rowsOf(values: Float64Array): number[][] {
  return Array.from({ length: values.length / LATENTS }, (_, r) => [
    ...values.subarray(r * LATENTS, (r + 1) * LATENTS),
  ]);
}
