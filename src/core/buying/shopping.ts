import { solved, type WorkSteps } from '../find/work-steps.ts';
import { lowest } from '../numeric/lowest.ts';
import { cheapestPackages } from './cheapest-packages.ts';
import { startFit } from './fit-recipes.ts';
import { likelyPackages } from './likely-packages.ts';
import { startMending } from './mend-list.ts';
import { notSolved, type RecipeShares, recipeShares, type SharesRound } from './recipe-shares.ts';
import { type RecipesListed, type ShopLimits, shopLimits, shopModel } from './shop-model.ts';
import {
  costOfPackages,
  OPTIMISER_STEPS,
  type ShoppingAsked,
  type ShopRecipe,
} from './shopping-asked.ts';

export interface ShoppingList {
  /** Whole packages of each block. */
  readonly packages: readonly number[];
  /** Place of the recipe of each colour; undefined where the colour is not met. */
  readonly chosen: readonly (number | undefined)[];
  readonly cost: number;
  /** No list of these recipes that meets as many colours costs less. */
  readonly bound: number;
}

/** Recipes a colour has when packages and recipes are chosen together: few first, then more of them. */
const CHOSEN_COLUMNS = [16, 60] as const;
const MOST_ROUNDS = 40;
/** More recipes than this are too many for whole packages at once. */
const MOST_COLUMNS = 6000;
/** Shares of the clay that recipes leave unused, so that whole recipes fit where shares of them did. */
const SPARE = [0, 0.016, 0.032, 0.064] as const;
/** Rows about packages that leave this share unused are stronger than those that leave none, and hold as well. */
const SPARE_FIRST = 0.009;
/** Rows about packages: the first ones, all for the bound, and at most so many more for each share. */
const MOST_CUTS = { first: 40, bound: 100, more: 20 } as const;
/** What the recipe of a colour is worth by the first prices of grams. */
const FIRST_WORTH = 60;
/** A better bound is not looked for where the list is proven to within this. */
const FINE_GAP = 0.01;
const A_HAIR = 1e-6;

/**
 * Whole packages, and one recipe for each colour, at the least cost.
 *
 * A linear problem over all recipes is solved first. Whole packages and recipes are then chosen together from those
 * closest to its prices. Where that list of many recipes may be much dearer than it must be, the cheapest packages
 * are looked for with shares of recipes, which bounds the cost, and whole recipes are fitted into them; where none are
 * found that fit, a little of the clay is left unused.
 *
 * Holds:   `bound` holds over all recipes given; a colour without recipes is not met and costs nothing
 */
export function* shopping(asked: ShoppingAsked): WorkSteps<ShoppingList> {
  const limits = shopLimits(asked, 1 - Math.max(...SPARE));
  const shares = recipeShares(asked, limits);
  let root = yield* shares.round();
  for (let more = 1; more < MOST_ROUNDS && !root.isLast; more++) root = yield* shares.round();
  const ready = { shares, root, limits, lowestCost: root.isLast ? root.cost : 0 };
  /** What a list is compared by: its cost, and the penalty of each colour that it could meet and does not. */
  const worthOf = ({ cost, chosen }: Pick<ShoppingList, 'cost' | 'chosen'>) => {
    const unmet = chosen.filter((at, i) => at === undefined && asked.recipes[i].length > 0);
    return cost + unmet.length * limits.penalty;
  };
  const together = yield* mended(asked, ready, yield* chosenTogether(asked, ready));
  const worth = worthOf(together);
  const mayBeDear = worth - together.bound > Math.max(asked.gap, FINE_GAP) * together.cost;
  const fitted =
    mayBeDear && isWorthFitting(asked)
      ? yield* unlessStopped(fittedList(asked, ready, worth))
      : undefined;
  const list = fitted?.list === undefined || worthOf(fitted.list) > worth ? together : fitted.list;
  const found = { ...list, bound: Math.max(fitted?.bound ?? 0, together.bound) };
  const chosen = firstThatFit(asked, found);
  const proven = Math.max(0, found.bound - (worthOf({ ...found, chosen }) - found.cost));
  return { ...found, chosen, bound: Math.min(found.cost, proven) };
}

/** A list made cheaper one colour at a time, where nothing but its cost limits a list. */
function* mended(
  asked: ShoppingAsked,
  { shares }: Ready,
  list: ShoppingList,
): WorkSteps<ShoppingList> {
  const { blocks, budget, mostLines, gap } = asked;
  if (budget !== undefined || mostLines !== undefined) return list;
  if (list.cost - list.bound <= gap * list.cost) return list;
  const run = startMending(blocks, shares.table, list.chosen);
  yield { what: 'making the list cheaper', run };
  const cheaper = listOf(asked, run.chosen());
  return cheaper.cost < list.cost ? { ...cheaper, bound: list.bound } : list;
}

/** Whether packages first and recipes after is a way for this list: many recipes, and no limit but its cost. */
function isWorthFitting({ recipes, budget, mostLines, isThorough }: ShoppingAsked) {
  if (!isThorough || budget !== undefined || mostLines !== undefined) return false;
  return recipes.reduce((sum, own) => sum + own.length, 0) > MOST_COLUMNS;
}

/** What work comes to; nothing where it was stopped. */
function* unlessStopped<T>(work: WorkSteps<T>): WorkSteps<T | undefined> {
  let next = work.next();
  while (next.done !== true) {
    const how = yield next.value;
    if (how === 'stopped') return undefined;
    next = work.next(how);
  }
  return next.value;
}

interface Ready {
  readonly shares: RecipeShares;
  readonly root: SharesRound;
  readonly limits: ShopLimits;
  /** Of the linear problem; 0 where it was not solved to the end. */
  readonly lowestCost: number;
}

interface Fitted {
  readonly bound: number;
  readonly list?: ShoppingList;
}

/**
 * The bound of the cheapest packages, and the list of whole recipes that were fitted into such, if any were.
 * Packages that cost as much as the list at hand are not looked at.
 */
function* fittedList(
  asked: ShoppingAsked,
  { shares, root, limits, lowestCost }: Ready,
  costAtHand: number,
): WorkSteps<Fitted> {
  const cuts = [root.cut];
  const chosenWith = (spare: number, mostCuts: number) =>
    cheapestPackages(asked, shares, {
      ...{ cuts, mostCuts, mostPackages: limits.mostPackages, root: root.packages },
      usable: 1 - spare,
    });
  yield* chosenWith(SPARE_FIRST, MOST_CUTS.first);
  let bound = lowestCost;
  let before = Number.NEGATIVE_INFINITY;
  for (const spare of SPARE) {
    const most = spare === 0 ? MOST_CUTS.bound : cuts.length + MOST_CUTS.more;
    const found = yield* chosenWith(spare, most);
    if (spare === 0) bound = Math.max(bound, found.bound);
    if (costAtHand - bound <= FINE_GAP * costAtHand || found.bound >= costAtHand) break;
    if (!found.isEnough && spare > 0) break;
    const mostCost = Math.max(costOfPackages(asked.blocks, found.packages), bound / (1 - FINE_GAP));
    if (mostCost >= costAtHand || mostCost === before) continue;
    before = mostCost;
    const spared =
      spare > SPARE_FIRST ? found : yield* chosenWith(SPARE_FIRST, cuts.length + MOST_CUTS.more);
    const from =
      costOfPackages(asked.blocks, spared.packages) <= mostCost ? spared.packages : found.packages;
    const { there, count } = yield* likelyPackages(asked.blocks, shares.table, {
      ...{ from, mostCost, mostPackages: limits.mostPackages },
      prices: firstPrices(asked, root),
    });
    if (count.log < 0) continue;
    const run = startFit(shares.table, there, count.prices);
    yield { what: 'fitting recipes into packages', run };
    const chosen = run.chosen();
    if (chosen !== undefined) return { bound, list: { ...listOf(asked, chosen), bound } };
  }
  return { bound };
}

/** Packages and recipes chosen together, from the recipes that the prices of the linear problem favour. */
function* chosenTogether(
  asked: ShoppingAsked,
  { shares, root, limits, lowestCost }: Ready,
): WorkSteps<ShoppingList> {
  const { recipes, gap, seconds } = asked;
  const reduced = recipes.map((_, colour) => root.reduced(colour));
  const modelOf = (columns: RecipesListed) =>
    shopModel(asked, { columns, linked: shares.linked, whole: true, limits });
  let best: Omit<ShoppingList, 'bound'> | undefined;
  let least = Number.POSITIVE_INFINITY;
  let bound = lowestCost;
  const longest = Math.max(0, ...recipes.map((own) => own.length));
  for (const most of CHOSEN_COLUMNS) {
    const model = modelOf(reduced.map((own) => new Set(lowest(own.length, most, (at) => own[at]))));
    const found = yield* solved(
      { ...model.problem, gap, seconds, steps: OPTIMISER_STEPS },
      'choosing packages',
    );
    if (found === undefined) continue;
    const cost = model.costOf(found.values);
    if (cost < least) [least, best] = [cost, listOf(asked, model.chosenFrom(found.values))];
    if (longest <= most) bound = Math.max(bound, found.bound);
    if (longest <= most || least - bound <= gap * least) break;
  }
  if (best === undefined) throw notSolved();
  // A recipe that costs more than this by its price is in no list better than the one at hand.
  const room = least - lowestCost + A_HAIR;
  const rest = reduced.map((own) => new Set([...own.keys()].filter((at) => own[at] <= room)));
  const count = rest.reduce((sum, own) => sum + own.size, 0);
  if (least - bound > gap * least && count <= MOST_COLUMNS) {
    const model = modelOf(rest);
    const found = yield* solved(
      { ...model.problem, gap, seconds, steps: OPTIMISER_STEPS },
      'proving the list',
    );
    if (found !== undefined) {
      bound = Math.max(bound, found.bound);
      if (model.costOf(found.values) < least) best = listOf(asked, model.chosenFrom(found.values));
    }
  }
  return { ...best, bound };
}

/** A list of the recipes chosen, with the packages that they need. */
function listOf(
  asked: ShoppingAsked,
  chosen: readonly (number | undefined)[],
): Omit<ShoppingList, 'bound'> {
  const packages = packagesFor(asked, chosen);
  return { packages, chosen, cost: costOfPackages(asked.blocks, packages) };
}

/** Prices of grams to begin with, in proportion to those of the linear problem. */
function firstPrices({ blocks, recipes }: ShoppingAsked, { cut }: SharesRound): Float64Array {
  const prices = cut.clay.map((worth, block) => worth / blocks[block].packageG);
  const [usual] = recipes.find((own) => own.length > 0) ?? [];
  const worth = usual?.uses.reduce((sum, { block, grams }) => sum + prices[block] * grams, 0) ?? 0;
  return Float64Array.from(prices, (price) => (worth > 0 ? (FIRST_WORTH * price) / worth : 1));
}

/** Whole packages that chosen recipes need, no more. */
export function packagesFor(
  { blocks, recipes }: Pick<ShoppingAsked, 'blocks' | 'recipes'>,
  chosen: readonly (number | undefined)[],
): readonly number[] {
  const used = new Float64Array(blocks.length);
  chosen.forEach((at, colour) => {
    if (at === undefined) return;
    for (const { block, grams } of recipes[colour][at].uses) used[block] += grams;
  });
  return blocks.map(({ packageG, onHandG }, block) =>
    Math.max(0, Math.ceil((used[block] - onHandG) / packageG - A_HAIR)),
  );
}

/** With the same packages, for each colour the first of its recipes that the clay is enough for. */
function firstThatFit(
  { blocks, recipes }: ShoppingAsked,
  { packages, chosen }: Pick<ShoppingList, 'packages' | 'chosen'>,
): ShoppingList['chosen'] {
  const left = blocks.map(({ onHandG, packageG }, i) => onHandG + packages[i] * packageG);
  const take = (recipe: ShopRecipe, times: number) => {
    for (const { block, grams } of recipe.uses) left[block] -= times * grams;
  };
  chosen.forEach((at, colour) => {
    if (at !== undefined) take(recipes[colour][at], 1);
  });
  return chosen.map((at, colour) => {
    if (at === undefined) return undefined;
    const own = recipes[colour];
    take(own[at], -1);
    const fits = own.findIndex(({ uses }) =>
      uses.every(({ block, grams }) => grams <= left[block] + A_HAIR),
    );
    const next = fits < 0 ? at : fits;
    take(own[next], 1);
    return next;
  });
}
