import { commonDivisor } from '../numeric/common-divisor.ts';

/** A simplex of compositions of `size` clays, and the whole-part recipes in it. */
export interface CompositionCell {
  /** Corners, as places in the table of corners. */
  readonly corners: Int32Array;
  /** Recipes in the cell, as places in the table of recipes. */
  readonly recipes: Int32Array;
  /** Empty for a cell of few recipes. */
  readonly halves: readonly CompositionCell[];
  /**
   * Amounts in the cell lie between those of its corners mixed, times this, and those divided by this:
   * a power is no straight line. 1 where parts count as they are.
   */
  readonly slack: number;
}

/** All recipes of a number of clays, each with at least one part, no common factor. */
export interface Compositions {
  readonly size: number;
  /** Parts of recipe r: counts[r * size] to counts[r * size + size - 1]. */
  readonly counts: Uint8Array;
  readonly length: number;
  readonly root: CompositionCell;
  /** Shares at corner c: corners[c * size] to corners[c * size + size - 1]. */
  readonly corners: Float64Array;
  /** The same to the power that parts count to. */
  readonly amounts: Float64Array;
}

/** Distance in colour between two compositions (shares of each clay), for the current sets. */
export type Apart = (one: Float64Array, other: Float64Array) => number;

/** Factor on the length of an edge whose cut would separate no recipes. */
const NO_CUT_WEIGHT = 0.25;
/** Cells cut this often are not cut again: their recipes are on a face that no cut separates. */
const DEEPEST = 40;

/**
 * The whole-part recipes of `size` clays with at most `parts` parts, in halves of halves.
 * Shape:   size 1 up, parts from size -> tables and the cell that holds all recipes: of at most T
 *          parts every clay has at least 1, so its share is at least 1 / T
 * Method:  the edge longest in colour is cut in the middle until a cell has at most `few` recipes
 * Holds:   every recipe is in one cell of each depth, between its corners
 */
export function compositionsOf(
  size: number,
  parts: number,
  few: number,
  apart: Apart,
  power = 1,
): Compositions {
  const counts = wholeParts(size, parts);
  const length = counts.length / size;
  const corners: Float64Array[] = [];
  const most = (parts - size + 1) / parts;
  for (let i = 0; i < size; i++) {
    corners.push(new Float64Array(size).fill(1 / parts).fill(most, i, i + 1));
  }
  const weights = new Float64Array(length * size);
  const spread = most - 1 / parts;
  for (let r = 0; r < length; r++) {
    let total = 0;
    for (let i = 0; i < size; i++) total += counts[r * size + i];
    for (let i = 0; i < size; i++) {
      // With only one composition the simplex is a point.
      weights[r * size + i] =
        spread > 0 ? (counts[r * size + i] / total - 1 / parts) / spread : 1 / size;
    }
  }
  const middles = new Map<string, number>();
  const root = halved(
    Int32Array.from({ length: size }, (_, i) => i),
    Int32Array.from({ length }, (_, r) => r),
    weights,
    0,
  );
  const flat = new Float64Array(corners.length * size);
  corners.forEach((shares, c) => {
    flat.set(shares, c * size);
  });
  const amounts = power === 1 ? flat : flat.map((v) => v ** power);
  return { size, counts, length, root, corners: flat, amounts };

  /** `made`: weights of the cell's corners that make each recipe, by rows. */
  function halved(
    own: Int32Array,
    recipes: Int32Array,
    made: Float64Array,
    depth: number,
  ): CompositionCell {
    const edge =
      recipes.length > few && depth < DEEPEST ? edgeToCut(own, recipes, made) : undefined;
    const slack = slackOf(own);
    if (edge === undefined) return { corners: own, recipes, halves: [], slack };
    const [i, j] = edge;
    const middle = middleOf(own[i], own[j]);
    const sides: [number[], number[]] = [[], []];
    for (let at = 0; at < recipes.length; at++) {
      sides[made[at * size + i] >= made[at * size + j] ? 0 : 1].push(at);
    }
    const halves = sides.flatMap((mine, side) => {
      if (mine.length === 0) return [];
      const [inside, replaced] = side === 0 ? [i, j] : [j, i];
      const remade = new Float64Array(mine.length * size);
      mine.forEach((at, n) => {
        for (let c = 0; c < size; c++) remade[n * size + c] = made[at * size + c];
        remade[n * size + replaced] = 2 * made[at * size + replaced];
        remade[n * size + inside] = made[at * size + inside] - made[at * size + replaced];
      });
      const next = own.slice();
      next[replaced] = middle;
      return [
        halved(
          next,
          Int32Array.from(mine, (at) => recipes[at]),
          remade,
          depth + 1,
        ),
      ];
    });
    return { corners: own, recipes, halves, slack };
  }

  function slackOf(own: Int32Array): number {
    if (power === 1) return 1;
    let slack = 1;
    for (let i = 0; i < size; i++) {
      let low = 1;
      let high = 0;
      for (const c of own) {
        low = Math.min(low, corners[c][i]);
        high = Math.max(high, corners[c][i]);
      }
      slack = Math.min(slack, chordRatio(high / low, power));
    }
    return slack;
  }

  function edgeToCut(
    own: Int32Array,
    recipes: Int32Array,
    made: Float64Array,
  ): readonly [number, number] | undefined {
    let best: readonly [number, number] | undefined;
    let longest = 0;
    for (let i = 0; i < size; i++) {
      for (let j = i + 1; j < size; j++) {
        let near = 0;
        for (let at = 0; at < recipes.length; at++) {
          if (made[at * size + i] >= made[at * size + j]) near++;
        }
        // First an edge whose cut separates the recipes; cutting another only makes the cell
        // smaller.
        const parts = near > 0 && near < recipes.length;
        const length = apart(corners[own[i]], corners[own[j]]) * (parts ? 1 : NO_CUT_WEIGHT);
        if (length > longest) {
          longest = length;
          best = [i, j];
        }
      }
    }
    return best;
  }

  function middleOf(one: number, other: number): number {
    const shares = corners[one].map((v, i) => (v + corners[other][i]) / 2);
    const key = shares.join(' ');
    let place = middles.get(key);
    if (place === undefined) {
      place = corners.push(shares) - 1;
      middles.set(key, place);
    }
    return place;
  }
}

/**
 * How far x to a power lies from the chord over 1 to r, as the smaller of the two ratios at worst.
 * Shape: r >= 1, a power above 0 -> 0-1
 * Method: x^p / (a + b x) with the chord a + b x is farthest from 1 at x = p a / (b (1 - p))
 */
export function chordRatio(r: number, power: number): number {
  if (power === 1 || r - 1 < 1e-12) return 1;
  const b = (r ** power - 1) / (r - 1);
  const a = 1 - b;
  const x = (power * a) / (b * (1 - power));
  const ratio = x ** power / (a + b * x);
  return Math.min(ratio, 1 / ratio);
}

/** The recipes themselves: whole parts of each clay, at least 1 and at most so many in all, no common factor. */
export function wholeParts(size: number, parts: number): Uint8Array {
  const flat: number[] = [];
  const counts = new Array<number>(size).fill(0);
  const visit = (at: number, left: number, divisor: number) => {
    if (at === size) {
      if (divisor === 1) for (const n of counts) flat.push(n);
      return;
    }
    for (let n = 1; n <= left - (size - 1 - at); n++) {
      counts[at] = n;
      visit(at + 1, left - n, commonDivisor(divisor, n));
    }
  };
  visit(0, parts, 0);
  return Uint8Array.from(flat);
}
