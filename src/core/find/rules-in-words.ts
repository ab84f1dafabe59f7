import type { Basis } from '../mixes/mix-graph.ts';
import type { StockRow } from './known-clays.ts';

/** What a recipe must keep to, in the words of her clays; see `SearchRules`. */
export interface RulesInWords {
  /** Use these clays only. */
  readonly only?: readonly string[];
  /** Leave these out. */
  readonly without?: readonly string[];
  /** A part of each of these. */
  readonly must?: readonly string[];
  /** Use clays of these lines only. */
  readonly lines?: readonly string[];
  /** Clays of at most so many lines in one recipe. */
  readonly mostLines?: number;
  readonly atLeast?: readonly ShareInWords[];
  readonly atMost?: readonly ShareInWords[];
  /** Half a part of any clay may move the colour by this at most, dE00. */
  readonly halfPart?: number;
  /** Grams of the batch wanted: of no clay more than the stock holds. */
  readonly batchG?: number;
}

/** A share, parts counted, of a line, a class of clay (`translucent`, `pearl`) or one clay. */
export interface ShareInWords {
  readonly of: string;
  /** 0-1. */
  readonly share: number;
  /** Names of the clays that are meant, where the word alone does not say. */
  readonly clays?: readonly string[];
}

export type RuleName = keyof RulesInWords;

/** The frame that the rules are for. */
export interface RulesFrame {
  readonly stock: readonly StockRow[];
  readonly mostClays: number;
  readonly parts: number;
  /** What the parts of the recipes count. */
  readonly basis: Basis;
}
