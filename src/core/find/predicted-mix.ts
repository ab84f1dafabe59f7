import type { ClayShare } from '../clay/mixture.ts';
import { PARTS_SPREAD } from '../clay/parts-spread.ts';
import { type Predictor, predictMix } from '../clay/predict.ts';
import type { Viewing } from '../colour/adaptation.ts';
import { labFromSpectrum } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { plusMinusOf } from '../verdict/verdict.ts';

export interface MixPrediction {
  readonly lab: Lab;
  /** 3 x 3 by rows, CIELAB units squared. */
  readonly covariance: Float64Array;
  /** Size of the ±, dE00. */
  readonly plusMinus: number;
  /** 36 bands, 0-1. */
  readonly spectrum: Float64Array;
  /** D50 and 2 degree, for showing it. */
  readonly shown: Lab;
}

/**
 * A mix as predictions and recipes found are shown.
 * Shape:   clays by index with shares that add up to 1
 */
export function predictViewed(
  predictor: Predictor,
  parts: readonly ClayShare[],
  { light, observer }: Viewing,
): MixPrediction {
  const { lab, covariance, spectrum } = predictMix(predictor, parts, {
    weights: colourWeights(light, observer),
    partsSpread: parts.length > 1 ? PARTS_SPREAD.ofMix : PARTS_SPREAD.ofClay,
  });
  const shown = labFromSpectrum(spectrum, colourWeights('D50', 2));
  return { lab, covariance, plusMinus: plusMinusOf(lab, covariance), spectrum, shown };
}
