import { solveInPlace } from '../numeric/dense-cholesky.ts';
import type { RecipeTable } from './recipe-table.ts';

/** Changes of the prices at most, and how often one is made smaller before there is none. */
const MOST_CHANGES = 120;
const MOST_SMALLER = 14;
/** A change of the logarithm below this ends the search; below `NONE`, nothing fits. */
const FINE = 0.01;
const NONE = -20;
/** What holds a change back: at first, after a change that helped, and after one that did not. */
const HELD = { first: 10, helped: 0.2, failed: 5, most: 100 } as const;
const A_HAIR = 1e-9;
/** A recipe that is less likely than the likeliest by this factor counts for nothing in the changes. */
const RARE = 1e-12;

export interface CountOfFits {
  /** Natural logarithm of a number that no count of fitting choices exceeds. */
  readonly log: number;
  /** What a gram of each block is worth there: by so much the logarithm grows with one gram more. */
  readonly prices: Float64Array;
  /** How the grams used of two blocks vary together, blocks x blocks by rows, g². */
  readonly spread: Float64Array;
}

/**
 * In how many ways one recipe of each colour can be chosen, so that together they need no more of any block than
 * there is: a number that is not exceeded. For any prices of grams, each choice that fits counts at least 1 in
 * exp(prices · there) times the product over colours of the sum over recipes of exp(−prices · grams). The prices
 * at which this is least are looked for.
 * Shape:   recipes of each colour by their place in the table; `there` and `from` by block
 * Source:  the bound of [Chernoff1952] for sums; the least of it is the choice of most entropy
 * Holds:   at any prices, so also where the search ends early; below 0 nothing fits
 */
export function countOfFits(
  { uses, blocks, grams }: RecipeTable,
  recipes: readonly ArrayLike<number>[],
  there: readonly number[],
  from: Float64Array,
): CountOfFits {
  const n = there.length;
  const mean = new Float64Array(n);
  let held: number = HELD.first;
  let now = countAt(Float64Array.from(from), true);
  for (let change = 0; change < MOST_CHANGES && now.log > NONE; change++) {
    const free = there.flatMap((_, block) =>
      now.spread[block * n + block] > 0 && !(now.prices[block] <= A_HAIR && now.slope[block] > 0)
        ? [block]
        : [],
    );
    let next = now;
    for (let tries = 0; tries < MOST_SMALLER && !(next.log < now.log); tries++) {
      if (tries > 0) held *= HELD.failed;
      next = countAt(changed(free), false);
    }
    if (!(next.log < now.log)) break;
    const gain = now.log - next.log;
    now = countAt(next.prices, true);
    if (gain < FINE && held < HELD.most) break;
    held *= HELD.helped;
  }
  return now;

  function changed(free: readonly number[]): Float64Array {
    const size = free.length;
    const curve = new Float64Array(size * size);
    free.forEach((row, i) => {
      free.forEach((column, j) => {
        curve[i * size + j] = now.spread[row * n + column] + (i === j ? held : 0);
      });
    });
    const step = Float64Array.from(free, (block) => -now.slope[block]);
    solveInPlace(curve, step, size);
    const prices = Float64Array.from(now.prices);
    free.forEach((block, i) => {
      prices[block] = Math.max(0, prices[block] + step[i]);
    });
    return prices;
  }

  function countAt(prices: Float64Array, withSpread: boolean) {
    let log = 0;
    const slope = Float64Array.from(there);
    const spread = new Float64Array(withSpread ? n * n : 0);
    for (let block = 0; block < n; block++) log += prices[block] * there[block];
    for (const own of recipes) {
      const worth = new Float64Array(own.length);
      let least = Number.POSITIVE_INFINITY;
      for (let at = 0; at < own.length; at++) {
        for (let use = uses[own[at]]; use < uses[own[at] + 1]; use++) {
          worth[at] += prices[blocks[use]] * grams[use];
        }
        least = Math.min(least, worth[at]);
      }
      let sum = 0;
      for (let at = 0; at < own.length; at++) {
        worth[at] = Math.exp(least - worth[at]);
        sum += worth[at];
      }
      log += Math.log(sum) - least;
      mean.fill(0);
      const touched = new Set<number>();
      for (let at = 0; at < own.length; at++) {
        const chance = worth[at] / sum;
        if (chance < RARE) continue;
        const end = uses[own[at] + 1];
        for (let use = uses[own[at]]; use < end; use++) {
          const used = chance * grams[use];
          mean[blocks[use]] += used;
          touched.add(blocks[use]);
          if (!withSpread) continue;
          for (let other = uses[own[at]]; other < end; other++) {
            spread[blocks[use] * n + blocks[other]] += used * grams[other];
          }
        }
      }
      for (const block of touched) {
        slope[block] -= mean[block];
        if (!withSpread) continue;
        for (const other of touched) spread[block * n + other] -= mean[block] * mean[other];
      }
    }
    return { log, prices, slope, spread };
  }
}
