import type { Basis } from '../core/mixes/mix-graph.ts';
import type { Recipe } from '../core/notation/notation.ts';
import type { EyeVerdict } from '../core/trial/by-eye-observer.ts';
import type { ReadingPlace } from './records/reading.ts';

/** A row of a file that asks for a prediction. */
export interface RecipeFileRow {
  readonly of: Recipe;
  /** As it was written. */
  readonly written: string;
  /** Absent where the row says nothing. */
  readonly basis?: Basis;
  readonly place: ReadingPlace;
  /** Column of the recipe, 1 is the first. */
  readonly column: number;
}

/** A row of a file of test balls, as the user wrote it down. */
export interface VerdictRow {
  /** One to three, A first. */
  readonly balls: readonly Recipe[];
  /** Absent while the balls are rolled and not yet judged. */
  readonly verdict?: EyeVerdict;
  readonly place: ReadingPlace;
}
