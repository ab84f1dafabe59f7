import { AppError } from '../errors.ts';
import { solved, type WorkSteps } from '../find/work-steps.ts';
import { lowest } from '../numeric/lowest.ts';
import { recipeTable } from './recipe-table.ts';
import { needsPackage, type ShopLimits, type ShopPrices, shopModel } from './shop-model.ts';
import type { ShoppingAsked } from './shopping-asked.ts';

/** Recipes that each colour starts with: so many of the closest, and of those whose clay costs least. */
const FIRST_COLUMNS = 12;
/** Recipes that a colour gains in one round of prices. */
const MORE_COLUMNS = 6;
const A_HAIR = 1e-6;

/**
 * What every list must keep to, by the prices of one solved problem: packages times their grams' price and their
 * links' price are worth at least as much as the colours, without what is at hand.
 */
export interface PackageCut {
  /** What the colours are worth, at the cheapest of all their recipes. */
  readonly colours: number;
  readonly atHand: number;
  /** Of one package of each block. */
  readonly clay: readonly number[];
  readonly links: readonly number[];
}

export interface SharesRound {
  readonly cost: number;
  /** Packages of each block, in shares. */
  readonly packages: readonly number[];
  /** Holds for every list of all recipes, also before the last round. */
  readonly cut: PackageCut;
  /** No recipe and no link is missing: the cost is the least over all recipes. */
  readonly isLast: boolean;
  /** What one of each recipe of a colour would change of the cost. */
  reduced(colour: number): Float64Array;
}

export interface RecipeShares {
  readonly table: ReturnType<typeof recipeTable>;
  readonly linked: ReadonlySet<number>;
  /** One round of prices, with packages that are bought in any case and the share of clay that may be used. */
  round(least?: readonly number[], usable?: number): WorkSteps<SharesRound>;
}

/**
 * The linear problem in which colours are mixed by shares of recipes, over all recipes: it begins with a few of
 * each colour, and each round adds those that its own prices ask for.
 * Source:  column generation, as textbooks of integer programming have it
 */
export function recipeShares(asked: ShoppingAsked, limits: ShopLimits): RecipeShares {
  const { blocks, recipes } = asked;
  const table = recipeTable(recipes);
  const { starts, uses, grams: gramsAt, blocks: blockAt } = table;
  const columns = recipes.map((own, colour) => {
    const dear = blocks.map(({ cost, packageG }) => cost / packageG);
    const cheap = lowest(own.length, FIRST_COLUMNS, (at) => {
      let cost = 0;
      const recipe = starts[colour] + at;
      for (let use = uses[recipe]; use < uses[recipe + 1]; use++) {
        const block = blockAt[use];
        cost += Math.max(0, gramsAt[use] - blocks[block].onHandG) * dear[block];
      }
      return cost;
    });
    return new Set([...own.slice(0, FIRST_COLUMNS).keys(), ...cheap]);
  });
  const linked = new Set<number>();
  const perG = new Float64Array(blocks.length);
  const needs = Uint8Array.from(gramsAt, (grams, use) =>
    Number(needsPackage(asked, blockAt[use], grams)),
  );

  return {
    table,
    linked,
    *round(least, usable = 1) {
      const model = shopModel(asked, {
        ...{ columns, linked, limits, usable, whole: false },
        ...(least === undefined ? {} : { least }),
      });
      const solution = yield* solved(model.problem, 'weighing recipes');
      if (solution?.prices === undefined) throw notSolved();
      const prices = model.pricesFrom(solution.prices);
      let isLast = true;
      let worth = 0;
      for (const [colour, own] of recipes.entries()) {
        if (own.length === 0) continue;
        const costs = reducedCosts(colour, prices);
        let cheapest = 0;
        for (const cost of costs) if (cost < cheapest) cheapest = cost;
        worth += prices.colours[colour] + cheapest;
        if (cheapest > -A_HAIR) continue;
        for (const at of lowest(costs.length, MORE_COLUMNS, (at) => costs[at])) {
          if (costs[at] > -A_HAIR || columns[colour].has(at)) continue;
          columns[colour].add(at);
          isLast = false;
        }
      }
      for (const link of model.brokenLinks(solution.values)) {
        linked.add(link);
        isLast = false;
      }
      return {
        cost: solution.cost,
        packages: solution.values.slice(0, blocks.length),
        cut: cutOf(prices, worth),
        isLast,
        reduced: (colour) => reducedCosts(colour, prices),
      };
    },
  };

  function reducedCosts(colour: number, prices: ShopPrices): Float64Array {
    const out = new Float64Array(recipes[colour].length).fill(-prices.colours[colour]);
    perG.set(prices.blocks);
    const firstLink = colour * blocks.length;
    for (let at = 0; at < out.length; at++) {
      const recipe = starts[colour] + at;
      for (let use = uses[recipe]; use < uses[recipe + 1]; use++) {
        const block = blockAt[use];
        out[at] += gramsAt[use] * perG[block];
        if (needs[use] === 1) out[at] += prices.links[firstLink + block];
      }
    }
    return out;
  }

  function cutOf(prices: ShopPrices, worth: number): PackageCut {
    const links = blocks.map(() => 0);
    prices.links.forEach((price, link) => {
      links[link % blocks.length] += price;
    });
    return {
      colours: worth,
      atHand: blocks.reduce((sum, { onHandG }, block) => sum + prices.blocks[block] * onHandG, 0),
      clay: blocks.map(({ packageG }, block) => prices.blocks[block] * packageG),
      links,
    };
  }
}

export function notSolved(): AppError {
  return new AppError({
    code: 'work-stopped',
    kind: 'unavailable',
    detail: 'No buying list was found in the time allowed.',
    hint: 'Ask for fewer colours at once, or for a smaller tolerance.',
    retry: true,
  });
}
