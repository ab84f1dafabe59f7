import { openModel, type Predictor } from '../../core/clay/predict.ts';
import { withRoughClays } from '../../core/clay/rough-clays.ts';
import { roughPredictor } from '../../core/clay/rough-model.ts';
import { PRIOR_HASH, shippedPrior } from '../../core/clay/shipped-prior.ts';
import { colourOfName } from '../../core/colour/colour-of-name.ts';
import type { Basis } from '../../core/mixes/mix-graph.ts';
import type { ClayFile } from '../../domain/clay-file.ts';
import { modelFromClayFile } from '../../domain/clay-file-model.ts';
import { isRoughlyKnown } from '../../domain/readings-by-kind.ts';
import { type ColouredBlock, roughReadings } from '../../domain/rough-readings.ts';
import { upgradeClayFile } from '../../domain/upgrade-clay-file.ts';
import type { ClaySource, KnownClay, NamedBlock } from './messages.ts';
import { predictHere } from './predict-mix.ts';

export interface OpenSource {
  readonly predictor: Predictor;
  /** Parts by volume or by weight. */
  readonly basis: Basis;
  /** By clay: no tile of it was measured. */
  readonly isRough: readonly boolean[];
}

/**
 * Clays ready to predict: those of a clay file, or learned here and now from colours of blocks, which
 * takes well under a second for a drawer of them.
 */
export function openSource(source: ClaySource): OpenSource {
  const rough = [...source.rough, ...roughReadings(source.named.flatMap(colouredByName))];
  if (source.kind === 'learned') {
    const file = clayFile(source.file);
    const model = modelFromClayFile(file, 'the clay model', shippedPrior(), PRIOR_HASH);
    const predictor = withRoughClays(openModel(model), rough);
    const isRough = predictor.model.clays.map(
      (_, i) => i >= file.clays.length || isRoughlyKnown(file.clays[i].readings),
    );
    return { predictor, basis: file.basis, isRough };
  }
  const predictor = roughPredictor(rough);
  return { predictor, basis: 'volume', isRough: predictor.model.clays.map(() => true) };
}

/** The book checked the file and its seal when it was saved; older versions named some of it otherwise. */
function clayFile(file: unknown): ClayFile {
  const read: unknown =
    file instanceof Uint8Array ? JSON.parse(new TextDecoder().decode(file)) : file;
  return upgradeClayFile(read) as ClayFile;
}

/** A block in the colour that its name says. */
function colouredByName({ id, name, clayType }: NamedBlock): ColouredBlock[] {
  const word = colourOfName(name);
  if (word === undefined) return [];
  return [{ id, clayType, colour: { ...word, readingKind: 'rough', state: 'baked' } }];
}

export function claysOf({ predictor, isRough }: OpenSource): readonly KnownClay[] {
  return predictor.model.clays.map(({ name }, clay) => {
    const { lab, plusMinus } = predictHere(predictor, [{ clay, parts: 1 }]);
    return { name, lab, plusMinus, rough: isRough[clay] };
  });
}
