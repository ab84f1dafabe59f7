import type { Basis } from '../mixes/mix-graph.ts';
import type { StockRow } from './known-clays.ts';

/** The rules of a recipe, with clays by name; see `SearchRules`. */
export interface RulesInWords {
  /** Use these clays only. */
  readonly only?: readonly string[];
  /** Leave these out. */
  readonly without?: readonly string[];
  /** Clays that every recipe contains. */
  readonly must?: readonly string[];
  /** Use clays of these lines only. */
  readonly lines?: readonly string[];
  /** Most lines in one recipe. */
  readonly mostLines?: number;
  readonly atLeast?: readonly ShareInWords[];
  readonly atMost?: readonly ShareInWords[];
  /** The most that half a part of any clay may move the colour, dE00. */
  readonly halfPart?: number;
  /** Also clays that are not flat: translucent, pearl, metallic, glitter, fluorescent. */
  readonly effects?: boolean;
  /** Grams of the batch; the recipe takes no more of a clay than the stock holds. */
  readonly batchG?: number;
}

/** A share, counted in parts, of a line, a class of clay (`translucent`, `pearl`) or one clay. */
export interface ShareInWords {
  readonly of: string;
  /** 0-1. */
  readonly share: number;
  /** Names of the clays meant, where the word alone is ambiguous. */
  readonly clays?: readonly string[];
}

export type RuleName = keyof RulesInWords;

/** The setting that the rules apply to. */
export interface RulesFrame {
  readonly stock: readonly StockRow[];
  readonly mostClays: number;
  readonly parts: number;
  /** Whether the parts of the recipes count volume or weight. */
  readonly basis: Basis;
}
