import { choleskyInPlace } from '../numeric/dense-cholesky.ts';
import { sizeOfBlock } from './block-cholesky.ts';
import { modelFromFit } from './clay-model.ts';
import { blockCovariance, inverseOfPositive } from './families.ts';
import { fitClays } from './fit.ts';
import { joinClays } from './join-clays.ts';
import { openModel, type Predictor } from './predict.ts';
import type { TileReading } from './tile-reading.ts';

/**
 * A model with further clays of which no tile was learned, each known from one rough colour alone.
 * Shape:   one reading of one clay each, of clays that the model does not hold -> the same model with these
 *          clays after its own
 * Method:  each is fitted alone, and its own covariance joins the factor as a block apart: nothing that
 *          the model knows changes, and nothing joins the new clays to the others
 * Holds:   predictions without the new clays stay as they are
 */
export function withRoughClays(predictor: Predictor, rough: readonly TileReading[]): Predictor {
  if (rough.length === 0) return predictor;
  const { model } = predictor;
  const groups = 1 + Math.max(...model.clays.map(({ group }) => group));
  const fits = rough.map((reading) => {
    const fit = fitClays([reading], model.prior);
    return { model: modelFromFit(fit), covariance: blockCovariance(fit.factor, 0) };
  });
  const size = sizeOfBlock(model.factor, 0);
  const columns = fits.map(({ covariance }, i) => {
    const values = inverseOfPositive(covariance, size);
    choleskyInPlace(values, size);
    return [{ row: model.factor.order.length + i, values }];
  });
  const joined = joinClays(model, {
    clays: fits.map(({ model: alone }, i) => {
      // A special effect would need a block of its own; its body colour is what is known.
      const { effect: _, ...clay } = alone.clays[0];
      return { ...clay, group: groups + i, pinned: false, tiles: 0, ownTiles: 0 };
    }),
    byAlternative: () => fits.map(({ model: alone }) => alone.clays[0]),
    columns,
    place: 'last',
  });
  return openModel(joined);
}
