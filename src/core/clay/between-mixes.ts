import type { Lab } from '../colour/triples.ts';
import type { ClayShare } from './mixture.ts';
import {
  labByAlternative,
  mixInUnknowns,
  type PredictOptions,
  type Predictor,
  widenedCovariance,
} from './predict.ts';
import { addOuter } from './tile-equations.ts';

/** Two mixes, and how certain the predicted difference is. */
export interface MixesApart {
  readonly before: Lab;
  readonly after: Lab;
  /** Of the difference of the two true colours, 3 x 3 by rows, CIELAB units squared. */
  readonly covariance: Float64Array;
}

/**
 * How one mix differs from another. What is uncertain of both alike does not count: the difference of two
 * mixes of the same clays is surer than either colour.
 * Shape:   two mixes by index, shares that sum to 1; `alike`, whether they are the same clays up to the lot, and so
 *          depart from simple addition in the same way
 * Holds:   the covariance includes how far the parts of the second will be off as they are cut
 */
export function betweenMixes(
  predictor: Predictor,
  before: readonly ClayShare[],
  after: readonly ClayShare[],
  alike: boolean,
  options: PredictOptions,
): MixesApart {
  const { model } = predictor;
  const one = mixInUnknowns(predictor, before, { ...options, partsSpread: 0 });
  const other = mixInUnknowns(predictor, after, options);
  // What belongs to a mix alone is shared by mixes that are alike, but for the error of the cut.
  const shared = alike
    ? mixInUnknowns(predictor, after, { ...options, partsSpread: 0 }).own.map((v) => -v)
    : one.own;
  const blocks = new Map(other.blocks);
  for (const [block, slopes] of one.blocks) {
    const own = blocks.get(block);
    blocks.set(
      block,
      slopes.map((v, k) => (own?.[k] ?? 0) - v),
    );
  }
  const covariance = widenedCovariance(model, {
    blocks,
    own: other.own.map((v, k) => v + shared[k]),
  });
  for (const alternative of predictor.alternatives ?? []) {
    const was = labByAlternative(model, alternative, before, options);
    const is = labByAlternative(model, alternative, after, options);
    const moved = is.map((v, k) => v - was[k] - (other.lab[k] - one.lab[k]));
    addOuter(covariance, Float64Array.from(moved), Math.sqrt(alternative.probability), 3);
  }
  return { before: one.lab, after: other.lab, covariance };
}
