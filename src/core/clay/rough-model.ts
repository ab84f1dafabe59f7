import { modelFromFit } from './clay-model.ts';
import { fitClays } from './fit.ts';
import { openModel, type Predictor } from './predict.ts';
import { shippedPrior } from './shipped-prior.ts';
import type { TileReading } from './tile-reading.ts';

/** Clays known from colours of the blocks alone; takes well under a second for a drawer of them. */
export function roughPredictor(readings: readonly TileReading[]): Predictor {
  return openModel(modelFromFit(fitClays(readings, shippedPrior())));
}
