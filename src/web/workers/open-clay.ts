import { openModel, type Predictor } from '../../core/clay/predict.ts';
import { roughPredictor } from '../../core/clay/rough-model.ts';
import { PRIOR_HASH, shippedPrior } from '../../core/clay/shipped-prior.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import { modelFromClayFile } from '../../domain/clay-file-model.ts';
import type { ClaySource, KnownClay } from './messages.ts';
import { predictHere } from './predict-mix.ts';

export interface OpenSource {
  readonly predictor: Predictor;
  /** Parts by volume or by weight. */
  readonly basis: Basis;
}

/**
 * Clays ready to predict: those of a clay file, or learned here and now from colours of blocks, which
 * takes well under a second for a drawer of them.
 */
export function openSource(source: ClaySource): OpenSource {
  if (source.kind === 'learned') {
    const { file } = source;
    const model = modelFromClayFile(file, 'the clay model', shippedPrior(), PRIOR_HASH);
    return { predictor: openModel(model), basis: file.basis };
  }
  return { predictor: roughPredictor(source.readings), basis: 'volume' };
}

export function claysOf(predictor: Predictor): readonly KnownClay[] {
  return predictor.model.clays.map(({ name }, clay) => {
    const { lab, plusMinus } = predictHere(predictor, [{ clay, parts: 1 }]);
    return { name, lab, plusMinus };
  });
}
