import { invalidInput } from '../errors.ts';

/** The rules of a recipe beside its size. Clays are indices into the clay model. */
export interface SearchRules {
  /** Each of these clays has a part in every recipe. */
  readonly must?: readonly number[];
  /** Least shares of the whole, counted in parts, for example for a line that gives strength. */
  readonly least?: readonly ShareRule[];
  /** Most shares: for translucent or pearl clays, or for what the stock holds of one clay. */
  readonly most?: readonly ShareRule[];
  /**
   * Line of each clay, by index into the model, and how many lines one recipe may have. A clay
   * beyond the end of the list has no line and counts for none.
   */
  readonly lines?: { readonly of: readonly (string | undefined)[]; readonly most: number };
  /** The most that half a part more or less of any clay may move the colour, dE00. */
  readonly halfPart?: number;
}

export interface ShareRule {
  readonly clays: readonly number[];
  /** 0-1. */
  readonly share: number;
  /**
   * Weight of one part of each clay, by index into the model, for shares by weight. All 1 when
   * absent.
   */
  readonly weights?: readonly number[];
}

/** Rules over the clays of one search, in the search's own numbering from 0. */
export interface CompiledRules {
  readonly must: readonly number[];
  readonly halfPart: number;
  /** Whether a set of clays can meet the rules at all, whatever its parts. */
  allowsSet(set: ArrayLike<number>, size: number): boolean;
  /** Whether any rule is about shares. */
  readonly onShares: boolean;
  /**
   * Whether some mix between corners may meet the rules on shares. Shares of the corners are rows
   * of `size` in a table, at the places given.
   */
  allowsBetween(
    set: ArrayLike<number>,
    size: number,
    table: Float64Array,
    places: Int32Array,
  ): boolean;
  /** Whether this recipe keeps to the rules on shares. */
  allowsParts(set: ArrayLike<number>, size: number, counts: ArrayLike<number>): boolean;
}

/** A share that misses its bound by rounding alone is accepted. */
const SLACK = 1e-9;
/** Wider than for a recipe, so that rounding never drops a bundle with an acceptable recipe. */
const SLACK_BETWEEN = 2 * SLACK;

/**
 * Shape:   rules in the model's numbering, the clays of the search -> rules in the search's
 * Refuses: a clay that must be in every recipe and is not among the clays -> invalid-input
 * Holds:   `allowsBetween` is true whenever `allowsParts` is true of a recipe between the corners
 */
export function compileRules(
  rules: SearchRules | undefined,
  clays: readonly number[],
): CompiledRules {
  const own = (list: readonly number[]) =>
    [...new Set(list)].map((p) => clays.indexOf(p)).filter((i) => i >= 0);
  const compiled = (list: readonly ShareRule[] | undefined, sign: number) =>
    (list ?? []).map(({ clays: named, share, weights }) => {
      const coefficients = new Float64Array(clays.length).fill(-sign * share);
      for (const i of own(named)) coefficients[i] += sign;
      return coefficients.map((v, i) => v * (weights?.[clays[i]] ?? 1));
    });
  // Each rule requires a sum of coefficient x share that is not below 0.
  const linear = [...compiled(rules?.least, 1), ...compiled(rules?.most, -1)];
  const lines = rules?.lines;
  const must = own(rules?.must ?? []);
  if (must.length < new Set(rules?.must).size) {
    throw invalidInput('A clay that must be in every recipe is not among the clays to use.');
  }
  const lineOf = clays.map((p) => lines?.of[p]);
  return {
    must,
    halfPart: rules?.halfPart ?? Number.POSITIVE_INFINITY,
    allowsSet(set, size) {
      if (lines !== undefined) {
        const seen = new Set<string>();
        for (let i = 0; i < size; i++) {
          const line = lineOf[set[i]];
          if (line !== undefined) seen.add(line);
        }
        if (seen.size > lines.most) return false;
      }
      return true;
    },
    onShares: linear.length > 0,
    allowsBetween(set, size, table, places) {
      for (const coefficients of linear) {
        let most = Number.NEGATIVE_INFINITY;
        for (const place of places) {
          let value = 0;
          for (let i = 0; i < size; i++) value += coefficients[set[i]] * table[place * size + i];
          if (value > most) most = value;
        }
        if (most < -SLACK_BETWEEN) return false;
      }
      return true;
    },
    allowsParts(set, size, counts) {
      for (const coefficients of linear) {
        let value = 0;
        let total = 0;
        for (let i = 0; i < size; i++) {
          value += coefficients[set[i]] * counts[i];
          total += counts[i];
        }
        if (value < -SLACK * total) return false;
      }
      return true;
    },
  };
}
