import { openModel } from '../core/clay/predict.ts';
import { PRIOR_HASH, shippedPrior } from '../core/clay/shipped-prior.ts';
import { AppError } from '../core/errors.ts';
import {
  type ClayHints,
  clayIndex,
  type KnownClays,
  knownClays,
} from '../core/find/known-clays.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import type { WholeParts } from '../core/mixes/whole-parts.ts';
import { type Recipe, sharesOf } from '../core/notation/notation.ts';
import { type Means, meansOf } from '../domain/advice.ts';
import type { ClayFile } from '../domain/clay-file.ts';
import { clayFileFromBytes } from '../domain/clay-file-codec.ts';
import { modelFromClayFile } from '../domain/clay-file-model.ts';
import { isRoughlyKnown } from '../domain/readings-by-kind.ts';

/** A clay file, read and ready to predict. */
export interface OpenClay extends KnownClays {
  readonly file: ClayFile;
  /** How the user reads tiles, as the readings show. */
  readonly means: Means;
}

/**
 * Opens the bytes of a clay file; `title` is what messages call it.
 * Refuses: as `clayFileFromBytes` and `modelFromClayFile` do
 */
export function openClay(bytes: Uint8Array, title: string): OpenClay {
  const file = clayFileFromBytes(bytes, title);
  const model = modelFromClayFile(file, title, shippedPrior(), PRIOR_HASH);
  const names = model.clays.map(({ name }) => name);
  const known = knownClays(openModel(model), names, file.basis, hintsOf(title, file.basis));
  const rough = new Set(
    file.clays.flatMap(({ readings }, i) => (isRoughlyKnown(readings) ? [i] : [])),
  );
  const means = meansOf(file.clays);
  const { explanations } = file;
  const own = file.clays.flatMap(({ shared }, i) => (shared === true ? [] : [i]));
  return {
    ...known,
    ...(own.length === 0 || own.length === names.length ? {} : { usable: own }),
    ...(rough.size === 0 ? {} : { rough }),
    ...(explanations === undefined ? {} : { explanations }),
    means,
    file,
  };
}

/** What can be done about a "no", where clays are named by a file or `--book`. */
function hintsOf(title: string, basis: Basis): ClayHints {
  return {
    all: `the clays of ${title}`,
    names: `see "kneadwell inspect ${title}"`,
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
export function checkBasis(
  { basis, hints }: KnownClays,
  asked: Basis | undefined,
  clays: number,
  where = '',
): void {
  if (asked === undefined || asked === basis || clays < 2) return;
  throw new AppError({
    code: 'basis-differs',
    kind: 'bad-input',
    detail: `${where}The recipe counts parts by ${asked}, and ${hints.all} were learned by ${basis}.`,
    hint: `The two differ by the density of every clay. Give the parts by ${basis}.`,
  });
}

/**
 * A recipe by the indices of its clays; a clay named twice is added up.
 * Refuses: an unknown clay -> clay-unknown; parts that are no amounts, as `sharesOf`
 */
export function partsByIndex(clays: KnownClays, recipe: Recipe, where = ''): WholeParts {
  const counts = new Map<number, number>();
  for (const { clay: name, parts } of recipe) {
    const clay = clayIndex(clays, name, where);
    counts.set(clay, (counts.get(clay) ?? 0) + parts);
  }
  sharesOf(recipe);
  return [...counts].map(([clay, parts]) => ({ clay, parts }));
}

/** Clays that may be used, by index; all where none is named. Refuses: an unknown name -> clay-unknown */
export function clayIndices(clays: KnownClays, names?: readonly string[]): readonly number[] {
  if (names === undefined) return clays.usable ?? clays.names.map((_, i) => i);
  return [...new Set(names.map((name) => clayIndex(clays, name)))];
}
