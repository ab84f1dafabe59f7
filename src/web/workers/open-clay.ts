import { modelFromClayFile } from '../../contract/clay-file-model.ts';
import { modelFromFit } from '../../core/clay/clay-model.ts';
import { fitClays } from '../../core/clay/fit.ts';
import { openModel, type Predictor, predictMix } from '../../core/clay/predict.ts';
import { PRIOR_HASH, shippedPrior } from '../../core/clay/shipped-prior.ts';
import { colourWeights } from '../../core/colour/weights.ts';
import { plusMinusOf } from '../../core/recipe/verdict.ts';
import type { ClaySource, Foretold, KnownParent, Share } from './messages.ts';

/** As the use case has it for parts counted by hand, contract/reading.ts. */
const PARTS_SPREAD_OF_MIX = 0.03;

/**
 * Clays ready to foretell: those of a clay file, or learnt here and now from colours of blocks, which
 * takes well under a second for a drawer of them.
 */
export function openSource(source: ClaySource): Predictor {
  const prior = shippedPrior();
  if (source.kind === 'learnt') {
    return openModel(modelFromClayFile(source.file, 'the clay model', prior, PRIOR_HASH));
  }
  return openModel(modelFromFit(fitClays(source.readings, prior)));
}

export function parentsOf(predictor: Predictor): readonly KnownParent[] {
  return predictor.model.parents.map(({ name }, parent) => {
    const { lab, plusMinus } = foretellMix(predictor, [{ parent, parts: 1 }]);
    return { name, lab, plusMinus };
  });
}

/** Under D50 and 2 degrees. */
export function foretellMix(predictor: Predictor, parts: readonly Share[]): Foretold {
  const used = parts.filter((part) => part.parts > 0);
  const total = used.reduce((sum, part) => sum + part.parts, 0);
  const { lab, covariance } = predictMix(
    predictor,
    used.map((part) => ({ parent: part.parent, share: part.parts / total })),
    { weights: colourWeights('D50', 2), partsSpread: used.length > 1 ? PARTS_SPREAD_OF_MIX : 0 },
  );
  return { lab, covariance: [...covariance], plusMinus: plusMinusOf(lab, covariance) };
}
