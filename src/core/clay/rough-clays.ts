import { choleskyInPlace } from '../numeric/dense-cholesky.ts';
import { type BlockFactor, sizeOfBlock } from './block-cholesky.ts';
import { type ClayModel, modelFromFit } from './clay-model.ts';
import { blockCovariance, inverseOfPositive } from './families.ts';
import { fitClays } from './fit.ts';
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
  const own = model.clays.length;
  const more = rough.length;
  // Clays are the first blocks, so that all others move up.
  const moved = (block: number) => (block < own ? block : block + more);
  const groups = 1 + Math.max(...model.clays.map(({ group }) => group));
  const fits = rough.map((reading) => {
    const fit = fitClays([reading], model.prior);
    return { model: modelFromFit(fit), covariance: blockCovariance(fit.factor, 0) };
  });
  const { factor } = model;
  const columns = fits.map(({ covariance }, i) => {
    const values = inverseOfPositive(covariance, sizeOfBlock(factor, 0));
    choleskyInPlace(values, sizeOfBlock(factor, 0));
    return [{ row: factor.order.length + i, values }];
  });
  const joined: BlockFactor = {
    order: [...factor.order.map(moved), ...rough.map((_, i) => own + i)],
    sizes: [...factor.sizes, ...rough.map(() => sizeOfBlock(factor, 0))],
    columns: [...factor.columns, ...columns],
  };
  const all: ClayModel = {
    ...model,
    factor: joined,
    sharedBlock: moved(model.sharedBlock),
    combinations: model.combinations.map((one) => ({ ...one, block: moved(one.block) })),
    ...(model.alternatives === undefined
      ? {}
      : {
          alternatives: model.alternatives.map((other) => ({
            ...other,
            clays: [...other.clays, ...fits.map(({ model: alone }) => alone.clays[0])],
          })),
        }),
    clays: [
      ...model.clays.map((clay) =>
        clay.effect === undefined
          ? clay
          : { ...clay, effect: { ...clay.effect, block: moved(clay.effect.block) } },
      ),
      ...fits.map(({ model: alone }, i) => {
        // A special effect would need a block of its own; its body colour is what is known.
        const { effect: _, ...clay } = alone.clays[0];
        return { ...clay, group: groups + i, pinned: false, tiles: 0, ownTiles: 0 };
      }),
    ],
  };
  return openModel(all);
}
