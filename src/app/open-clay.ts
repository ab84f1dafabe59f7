import type { ClayFile } from '../contract/clay-file.ts';
import { modelFromClayFile } from '../contract/clay-file-model.ts';
import { openModel, type Predictor } from '../core/clay/predict.ts';
import { PRIOR_HASH, shippedPrior } from '../core/clay/shipped-prior.ts';
import { AppError } from '../core/errors.ts';
import { nearestNames } from '../core/recipe/nearest-name.ts';
import { parentKey } from '../core/recipe/notation.ts';
import { clayFileFromBytes } from './clay-file-codec.ts';
import type { Basis, Ports } from './ports.ts';

/** A clay file, read and ready to foretell. */
export interface OpenClay {
  readonly path: string;
  readonly file: ClayFile;
  readonly predictor: Predictor;
  /** Index of a parent by `parentKey`. */
  readonly indexOf: ReadonlyMap<string, number>;
}

/** Refuses: as `Files.read`, `clayFileFromBytes` and `modelFromClayFile` do. */
export async function openClay({ files }: Ports, path: string): Promise<OpenClay> {
  const file = clayFileFromBytes(await files.read(path), path);
  const model = modelFromClayFile(file, path, shippedPrior(), PRIOR_HASH);
  const indexOf = new Map(model.parents.map(({ name }, i) => [parentKey(name), i]));
  return { path, file, predictor: openModel(model), indexOf };
}

/** Index of a parent by name. Refuses: a name the model does not hold -> parent-unknown. */
export function parentIndex(clay: OpenClay, name: string, where = ''): number {
  const index = clay.indexOf.get(parentKey(name));
  if (index !== undefined) return index;
  const known = clay.file.parents.map((parent) => parent.name);
  const nearest = nearestNames(name, known);
  const list = known.length <= 12 ? known.join(', ') : `see "kneadwell inspect ${clay.path}"`;
  throw new AppError({
    code: 'parent-unknown',
    kind: 'bad-input',
    detail: `${where}"${name.slice(0, 80)}" is not among the clays of ${clay.path}.`,
    hint:
      nearest.length > 0
        ? `Did you mean ${nearest.join(' or ')}?`
        : `It knows these: ${list}. Learn again with a tile of the new one.`,
  });
}

/**
 * Whether parts counted one way may be asked of a model that counts one way.
 * Refuses: the other basis, for more than one parent -> basis-differs
 */
export function checkBasis(clay: OpenClay, asked: Basis, parents: number, where = ''): void {
  const { basis } = clay.file;
  if (asked === basis || parents < 2) return;
  throw new AppError({
    code: 'basis-differs',
    kind: 'bad-input',
    detail: `${where}The recipe counts parts by ${asked}, and ${clay.path} was learnt by ${basis}.`,
    hint: `Between the two stands the density of every clay, and none are kept yet. Give the parts by ${basis}.`,
  });
}
