import { once, type WorkSteps } from '../find/work-steps.ts';
import { backward, choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import { lowest } from '../numeric/lowest.ts';
import { type CountOfFits, countOfFits } from './count-of-fits.ts';
import { fitsAlone, type RecipeTable, worthLeast } from './recipe-table.ts';
import { costOfPackages, type ShopBlock } from './shopping-asked.ts';

/** Recipes of each colour that are counted. */
const COUNTED = 400;
/** Other packages that are counted, those first that look likeliest; after so many in vain the search ends. */
const MOST_TRIED = 100;
/** Blocks of which one package more or less is taken at once. */
const AT_ONCE = 3;
/** Growth of the logarithm that other packages are worth. */
const WORTHWHILE = 0.05;

export interface LikelyPackages {
  readonly packages: readonly number[];
  /** Grams of each block, with those at hand. */
  readonly there: readonly number[];
  readonly count: CountOfFits;
}

/**
 * Packages that cost no more than `mostCost`, into which more choices of whole recipes fit than into others. One
 * package more or less of up to three blocks is tried, as long as the count grows: at first what the prices of
 * grams and how these change promise most.
 * Shape:   `from` and `mostPackages` by block; `prices` of a gram of each block, by which the first recipes are chosen
 */
export function* likelyPackages(
  blocks: readonly ShopBlock[],
  table: RecipeTable,
  {
    from,
    mostPackages,
    mostCost,
    prices,
  }: {
    readonly from: readonly number[];
    readonly mostPackages: readonly number[];
    readonly mostCost: number;
    readonly prices: Float64Array;
  },
): WorkSteps<LikelyPackages> {
  const thereOf = (packages: readonly number[]) =>
    blocks.map(({ onHandG, packageG }, block) => onHandG + packageG * packages[block]);
  const mayGrow = from.map(
    (n, block) => n > 0 || (blocks[block].onHandG > 0 && mostPackages[block] > 0),
  );
  const most = thereOf(from.map((n, block) => (mayGrow[block] ? n + 1 : n)));
  const countedAt = (prices: ArrayLike<number>) =>
    Array.from({ length: table.starts.length - 1 }, (_, colour) =>
      worthLeast(table, colour, { most: COUNTED, prices, there: most }),
    ).filter((own) => own.length > 0);
  const count = function* (packages: readonly number[], prices: Float64Array) {
    const there = thereOf(packages);
    const fitting = counted.map((own) => own.filter((recipe) => fitsAlone(table, recipe, there)));
    return yield* once(
      'choosing packages',
      (): LikelyPackages => ({
        packages,
        there,
        count: countOfFits(table, fitting, there, prices),
      }),
    );
  };
  let counted = countedAt(prices);
  let best = yield* count(from, prices);
  counted = countedAt(best.count.prices);
  best = yield* count(from, best.count.prices);
  for (;;) {
    const next = yield* better();
    if (next === undefined) return best;
    best = next;
  }

  function* better(): WorkSteps<LikelyPackages | undefined> {
    const others = othersThan(best.packages);
    const promise = promiseOf(best);
    const promised = others.map((packages) => promise(packages));
    for (const at of lowest(others.length, MOST_TRIED, (at) => -promised[at])) {
      if (promised[at] < WORTHWHILE) return undefined;
      const found = yield* count(others[at], best.count.prices);
      if (found.count.log > best.count.log + WORTHWHILE) return found;
    }
    return undefined;
  }

  /** Packages of up to three blocks one more or less, at most as dear as may be. */
  function othersThan(packages: readonly number[]): readonly (readonly number[])[] {
    const out: (readonly number[])[] = [];
    const go = (next: number, changes: number, so: readonly number[]) => {
      if (changes > 0 && costOfPackages(blocks, so) <= mostCost) out.push(so);
      if (changes === AT_ONCE) return;
      for (let block = next; block < blocks.length; block++) {
        if (!mayGrow[block]) continue;
        for (const by of [1, -1]) {
          const n = so[block] + by;
          if (n >= 0 && n <= mostPackages[block]) go(block + 1, changes + 1, so.with(block, n));
        }
      }
    };
    go(0, 0, packages);
    return out;
  }

  /** How much the logarithm may grow: by the prices of grams, and, where anything fits, by how these fall. */
  function promiseOf({ packages, count: { log, prices, spread } }: LikelyPackages) {
    const n = blocks.length;
    const rows = [...blocks.keys()].filter(
      (block) => log >= 0 && prices[block] > 0 && spread[block * n + block] > 0,
    );
    const curve = new Float64Array(rows.length ** 2);
    rows.forEach((a, i) => {
      rows.forEach((b, j) => {
        curve[i * rows.length + j] = spread[a * n + b] + (i === j ? 1 : 0);
      });
    });
    choleskyInPlace(curve, rows.length);
    const falls = rows.map((_, column) => {
      const unit = new Float64Array(rows.length);
      unit[column] = 1;
      forward(curve, unit, rows.length, 1);
      backward(curve, unit, rows.length);
      return unit;
    });
    const rowOf = new Map(rows.map((block, row) => [block, row]));
    return (other: readonly number[]) => {
      let grows = 0;
      const changed: (readonly [row: number, grams: number])[] = [];
      other.forEach((count, block) => {
        if (count === packages[block]) return;
        const grams = (count - packages[block]) * blocks[block].packageG;
        grows += prices[block] * grams;
        const row = rowOf.get(block);
        if (row !== undefined) changed.push([row, grams]);
      });
      for (const [row, a] of changed) {
        for (const [column, b] of changed) grows -= (a * b * falls[row][column]) / 2;
      }
      return grows;
    };
  }
}
