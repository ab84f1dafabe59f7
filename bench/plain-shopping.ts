/** The cheapest buying list by trying every choice of packages, and a greedy one, for comparison. */
import type { ShoppingAsked } from '../src/core/buying/shopping-asked.ts';

/** Most packages of one block that are tried. */
const MOST_PACKAGES = 2;

/**
 * The least cost of packages with which every colour can be mixed, by trying all of them in order of cost.
 * Shape: blocks and recipes as the search has them -> the cost; undefined where no choice is enough
 */
export function plainCheapest({ blocks, recipes }: ShoppingAsked): number | undefined {
  const wanted = recipes.filter((own) => own.length > 0);
  const choices: { cost: number; packages: number[] }[] = [];
  const walk = (packages: number[], cost: number): void => {
    const next = blocks[packages.length];
    if (next === undefined) {
      choices.push({ cost, packages });
      return;
    }
    const most = next.isClosed ? 0 : MOST_PACKAGES;
    for (let n = 0; n <= most; n++) walk([...packages, n], cost + n * next.cost);
  };
  walk([], 0);
  choices.sort((one, other) => one.cost - other.cost);
  for (const { cost, packages } of choices) {
    const left = blocks.map(({ onHandG, packageG }, i) => onHandG + packages[i] * packageG);
    if (fits(wanted, left)) return cost;
  }
  return undefined;
}

/** Whether one recipe of each colour can be chosen within what there is. */
function fits(wanted: ShoppingAsked['recipes'], left: readonly number[]): boolean {
  const possible = wanted.map((own) =>
    own.filter(({ uses }) => uses.every(({ block, grams }) => grams <= left[block] + 1e-9)),
  );
  if (possible.some((own) => own.length === 0)) return false;
  const order = possible.toSorted((one, other) => one.length - other.length);
  const rest = [...left];
  const place = (at: number): boolean => {
    if (at === order.length) return true;
    for (const { uses } of order[at]) {
      if (uses.some(({ block, grams }) => grams > rest[block] + 1e-9)) continue;
      for (const { block, grams } of uses) rest[block] -= grams;
      if (place(at + 1)) return true;
      for (const { block, grams } of uses) rest[block] += grams;
    }
    return false;
  };
  return place(0);
}

/** Colours one after the other, each by the recipe that adds least to the cost. */
export function greedyCost({ blocks, recipes }: ShoppingAsked): number {
  const used = blocks.map(() => 0);
  const costOf = (of: readonly number[]) =>
    blocks.reduce(
      (sum, { onHandG, packageG, cost }, i) =>
        sum + cost * Math.max(0, Math.ceil((of[i] - onHandG) / packageG - 1e-9)),
      0,
    );
  for (const own of recipes) {
    let best: number[] | undefined;
    let least = Number.POSITIVE_INFINITY;
    for (const { uses } of own) {
      const after = [...used];
      for (const { block, grams } of uses) after[block] += grams;
      const cost = costOf(after);
      if (cost < least) [best, least] = [after, cost];
    }
    best?.forEach((grams, i) => {
      used[i] = grams;
    });
  }
  return costOf(used);
}
