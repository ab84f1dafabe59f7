import { openModel } from '../core/clay/predict.ts';
import { PRIOR_HASH, shippedPrior } from '../core/clay/shipped-prior.ts';
import { AppError } from '../core/errors.ts';
import { type ClayHints, type KnownClays, knownClays } from '../core/find/known-clays.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import type { ClayFile } from '../domain/clay-file.ts';
import { clayFileFromBytes } from '../domain/clay-file-codec.ts';
import { modelFromClayFile } from '../domain/clay-file-model.ts';
import type { Ports } from './ports.ts';

/** A clay file, read and ready to predict. */
export interface OpenClay extends KnownClays {
  readonly path: string;
  readonly file: ClayFile;
}

/** Refuses: as `Files.read`, `clayFileFromBytes` and `modelFromClayFile` do. */
export async function openClay({ files }: Ports, path: string): Promise<OpenClay> {
  const file = clayFileFromBytes(await files.read(path), path);
  const model = modelFromClayFile(file, path, shippedPrior(), PRIOR_HASH);
  const names = model.clays.map(({ name }) => name);
  const known = knownClays(openModel(model), names, file.basis, hintsOf(path, file.basis));
  return { ...known, path, file };
}

/** What can be done about a "no", where clays are named by the path of their file. */
function hintsOf(path: string, basis: Basis): ClayHints {
  return {
    all: `the clays of ${path}`,
    names: `see "kneadwell inspect ${path}"`,
    line: 'Write it in the column "line" of a stock file and name that with --stock.',
    perhapsLine:
      'If it is a line: lines stand in the column "line" of a stock file, given with --stock.',
    stock: 'Name it with --stock.',
    grams: 'Write them in the column "grams".',
    density: `Write densities in the column "density" of a stock file and name that with --stock, or count parts by ${basis}.`,
  };
}

/**
 * Whether parts counted one way may be asked of a model that counts one way.
 * Refuses: the other basis, for more than one clay -> basis-differs
 */
export function checkBasis(clay: OpenClay, asked: Basis, clays: number, where = ''): void {
  const { basis } = clay.file;
  if (asked === basis || clays < 2) return;
  throw new AppError({
    code: 'basis-differs',
    kind: 'bad-input',
    detail: `${where}The recipe counts parts by ${asked}, and ${clay.path} was learned by ${basis}.`,
    hint: `Between the two stands the density of every clay, and none are kept yet. Give the parts by ${basis}.`,
  });
}
