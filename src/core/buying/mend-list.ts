import { seededChance } from '../numeric/seeded-chance.ts';
import type { ChosenRun } from './fit-recipes.ts';
import type { RecipeTable } from './recipe-table.ts';
import type { ShopBlock } from './shopping-asked.ts';

/** Recipes that are weighed in all, about a second of work. */
const MOST_WEIGHED = 60_000_000;
/** Starts at most, and how many colours get any other recipe before the next one. */
const MOST_STARTS = 200;
const STIRRED = 3;
/** What a share of a package counts beside whole packages: it only decides between lists that cost the same. */
const SHARE = 1e-4;
const A_HAIR_G = 1e-6;
/** What a package counts that is never bought: more than any list costs. */
const NEVER = 1e12;
const SEED = 3;

/**
 * Makes a list of whole recipes cheaper. Each colour in turn takes the recipe, of all its recipes, with which the
 * packages of all colours cost least, until none changes. Then a few colours get any other recipe, and so on again
 * from the cheapest list so far.
 * Source:  iterated local search, as textbooks of optimisation have it
 * Holds:   the list is never dearer than `from`, and a colour without a recipe there stays without one
 */
export function startMending(
  blocks: readonly ShopBlock[],
  { starts, uses, blocks: blockAt, grams }: RecipeTable,
  from: readonly (number | undefined)[],
): ChosenRun {
  const colours = from.flatMap((at, colour) => (at === undefined ? [] : [colour]));
  const { uniform } = seededChance(SEED);
  const used = new Float64Array(blocks.length);
  const chosen = new Int32Array(from.length);
  const best = new Int32Array(from.length);
  for (const colour of colours) {
    chosen[colour] = starts[colour] + (from[colour] ?? 0);
    put(chosen[colour], 1);
  }
  best.set(chosen);
  let bestCost = costOfAll();
  let weighed = 0;
  let begun = 1;
  let at = 0;
  let unchanged = 0;
  const isAtEnd = () => weighed >= MOST_WEIGHED || begun > MOST_STARTS || colours.length === 0;
  return {
    step(budget) {
      for (const until = weighed + budget; weighed < until && !isAtEnd(); ) {
        takeBest(colours[at]);
        at = (at + 1) % colours.length;
        if (unchanged >= colours.length) nextStart();
      }
      return isAtEnd();
    },
    get settled() {
      return Math.min(1, Math.max(weighed / MOST_WEIGHED, begun / MOST_STARTS));
    },
    total: MOST_WEIGHED,
    chosen: () =>
      from.map((first, colour) =>
        first === undefined ? undefined : best[colour] - starts[colour],
      ),
  };

  function takeBest(colour: number): void {
    const before = chosen[colour];
    put(before, -1);
    let least = more(before);
    for (let recipe = starts[colour]; recipe < starts[colour + 1]; recipe++) {
      const cost = more(recipe);
      if (cost < least - 1e-9) [least, chosen[colour]] = [cost, recipe];
    }
    put(chosen[colour], 1);
    weighed += starts[colour + 1] - starts[colour];
    unchanged = chosen[colour] === before ? unchanged + 1 : 0;
  }

  function nextStart(): void {
    const cost = costOfAll();
    if (cost < bestCost) {
      bestCost = cost;
      best.set(chosen);
    } else {
      for (const colour of colours) {
        put(chosen[colour], -1);
        put(best[colour], 1);
      }
      chosen.set(best);
    }
    for (let n = 0; n < STIRRED; n++) {
      const colour = colours[Math.floor(uniform() * colours.length)];
      put(chosen[colour], -1);
      chosen[colour] =
        starts[colour] + Math.floor(uniform() * (starts[colour + 1] - starts[colour]));
      put(chosen[colour], 1);
    }
    begun++;
    unchanged = 0;
  }

  function put(recipe: number, times: 1 | -1): void {
    for (let use = uses[recipe]; use < uses[recipe + 1]; use++) {
      used[blockAt[use]] += times * grams[use];
    }
  }

  /** What a recipe adds to the cost of all packages. */
  function more(recipe: number): number {
    let cost = 0;
    for (let use = uses[recipe]; use < uses[recipe + 1]; use++) {
      const block = blockAt[use];
      cost += costOf(block, used[block] + grams[use]) - costOf(block, used[block]);
    }
    return cost;
  }

  function costOfAll(): number {
    return blocks.reduce((sum, _, block) => sum + costOf(block, used[block]), 0);
  }

  function costOf(block: number, gramsUsed: number): number {
    const { onHandG, packageG, cost, isClosed } = blocks[block];
    const need = (gramsUsed - onHandG - A_HAIR_G) / packageG;
    if (need <= 0) return 0;
    return (isClosed ? NEVER : cost) * (Math.ceil(need) + SHARE * need);
  }
}
