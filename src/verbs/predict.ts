import type { Viewing } from '../core/colour/adaptation.ts';
import { clayIndex } from '../core/find/known-clays.ts';
import { type MixPrediction, predictViewed } from '../core/find/predicted-mix.ts';
import type { Basis } from '../core/mixes/mix-graph.ts';
import { parseRecipe, type Recipe, sharesOf } from '../core/notation/notation.ts';
import { checkBasis, type OpenClay, openClay } from './open-clay.ts';
import type { Ports } from './ports.ts';

export interface PredictCall {
  readonly clay: string;
  /** Recipes in words, or the path of a CSV file with a column `of`. */
  readonly wanted: { readonly of: readonly string[] } | { readonly from: string };
  readonly viewing: Viewing;
  /** What the parts count where a row says nothing; the model's own when absent. */
  readonly basis?: Basis;
}

export interface Prediction extends MixPrediction {
  /** The recipe as it was written. */
  readonly of: string;
  readonly viewing: Viewing;
}

/**
 * Predicts the colour of mixes. All of them, or none.
 * Refuses: a recipe that cannot be read, an unknown clay, the other basis, each with its place
 */
export async function predict(ports: Ports, call: PredictCall): Promise<readonly Prediction[]> {
  const clay = await openClay(ports, call.clay);
  const rows = await wantedRows(ports, call);
  return rows.map((row) => predictRow(clay, row, call.viewing));
}

interface WantedRow {
  readonly of: Recipe;
  readonly written: string;
  readonly basis?: Basis;
  /** Ends in a colon and a space; empty where the recipe stood in the call itself. */
  readonly where: string;
}

async function wantedRows(ports: Ports, call: PredictCall): Promise<readonly WantedRow[]> {
  const { wanted, basis } = call;
  const stated = basis === undefined ? {} : { basis };
  if ('of' in wanted) {
    return wanted.of.map((text) => ({
      of: parseRecipe(text),
      written: text.trim(),
      where: '',
      ...stated,
    }));
  }
  const { recipes } = ports.readers.recipes(await ports.files.read(wanted.from), wanted.from);
  return recipes.map(({ of, written, basis: own, place, column }) => ({
    of,
    written,
    where: `${place.file}, line ${place.line}, column ${column} (of): `,
    ...(own === undefined ? stated : { basis: own }),
  }));
}

function predictRow(clay: OpenClay, row: WantedRow, viewing: Viewing): Prediction {
  const shares = sharesOf(row.of);
  checkBasis(clay, row.basis ?? clay.file.basis, shares.length, row.where);
  const parts = shares.map(({ clay: name, share }) => ({
    clay: clayIndex(clay, name, row.where),
    share,
  }));
  return { of: row.written, viewing, ...predictViewed(clay.predictor, parts, viewing) };
}
