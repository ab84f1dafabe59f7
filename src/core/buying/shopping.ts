import { AppError } from '../errors.ts';
import type { WorkSteps } from '../find/work-steps.ts';
import type { LinearProblem, LinearRow, LinearSolution } from '../numeric/linear-problem.ts';

/** A block that can be bought in whole packages, or is at hand. */
export interface ShopBlock {
  readonly packageG: number;
  /** Of one package: whole units of whatever is to be little. */
  readonly cost: number;
  readonly onHandG: number;
  /** Never bought; what is at hand may be used. */
  readonly isClosed: boolean;
  readonly line: string;
}

/** A way to mix a colour: grams of each block, by place. */
export interface ShopRecipe {
  readonly uses: readonly { readonly block: number; readonly grams: number }[];
}

export interface ShoppingAsked {
  readonly blocks: readonly ShopBlock[];
  /** By colour: all ways to mix it, the better ones first; none where nothing comes close. */
  readonly recipes: readonly (readonly ShopRecipe[])[];
  /** Most that all packages may cost; then as many colours as can be. */
  readonly budget?: number;
  /** Clays of at most so many lines are bought. */
  readonly mostLines?: number;
  /** Share of the cost that the list may be off the best one. */
  readonly gap: number;
  /** Time for each problem of whole packages, s. */
  readonly seconds: number;
}

export interface ShoppingList {
  /** Whole packages of each block. */
  readonly packages: readonly number[];
  /** Place of the recipe of each colour; undefined where the colour is not met. */
  readonly chosen: readonly (number | undefined)[];
  readonly cost: number;
  /** No list of these recipes that meets as many colours costs less. */
  readonly bound: number;
}

/** Columns that each colour starts with. */
const FIRST_COLUMNS = 12;
/** Columns a colour gains in one round of prices. */
const MORE_COLUMNS = 6;
/** Columns a colour has when whole packages are chosen: few first, then more of them. */
const CHOSEN_COLUMNS = [16, 60] as const;
const MOST_ROUNDS = 40;
/** More columns than this are too many for whole packages at once. */
const MOST_COLUMNS = 6000;
const A_HAIR = 1e-6;

/**
 * Whole packages, and one recipe for each colour, at the least cost.
 *
 * A linear problem over all recipes is solved first, with the recipes that its own prices ask for; then whole
 * packages with the recipes closest to these prices. A recipe whose price is above what the list found so far
 * leaves open can be in no better list: where all others fit into one problem, its bound holds over all recipes.
 *
 * Holds:   `bound` holds over all recipes given; a colour without recipes is not met and costs nothing
 * Source:  column generation and fixing by reduced cost, as textbooks of integer programming have it
 */
export function* shopping(asked: ShoppingAsked): WorkSteps<ShoppingList> {
  const { recipes, gap } = asked;
  const mostPackages = mostPackagesOf(asked);
  const modelOf = (of: Columns, linked: ReadonlySet<string>, whole: boolean) =>
    shopModel(asked, { columns: of, linked, whole, mostPackages });
  const makeable = recipes.flatMap((own, colour) => (own.length === 0 ? [] : [colour]));
  const columns = recipes.map((own) => new Set(own.slice(0, FIRST_COLUMNS).keys()));
  for (const [colour, own] of recipes.entries()) {
    for (const at of cheapest(own, asked, FIRST_COLUMNS)) columns[colour].add(at);
  }
  const linked = new Set<string>();
  let reduced: (colour: number, recipe: number) => number = () => 0;
  let lowest = 0;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const model = modelOf(columns, linked, false);
    const solution = yield* solved(model.problem, 'weighing recipes');
    if (solution?.prices === undefined) throw notSolved();
    const { prices } = solution;
    reduced = (colour, recipe) => model.reducedCost(prices, colour, recipe);
    let grew = 0;
    for (const colour of makeable) {
      const worth = recipes[colour]
        .map((_, at) => ({ at, cost: reduced(colour, at) }))
        .filter(({ at, cost }) => cost < -A_HAIR && !columns[colour].has(at))
        .sort((one, other) => one.cost - other.cost)
        .slice(0, MORE_COLUMNS);
      for (const { at } of worth) columns[colour].add(at);
      grew += worth.length;
    }
    const tied = grew === 0 ? model.brokenLinks(solution.values) : [];
    for (const link of tied) linked.add(link);
    if (grew > 0 || tied.length > 0) continue;
    lowest = solution.cost;
    break;
  }
  let best: Omit<ShoppingList, 'bound'> | undefined;
  let least = Number.POSITIVE_INFINITY;
  let bound = lowest;
  const longest = Math.max(0, ...recipes.map((own) => own.length));
  for (const most of CHOSEN_COLUMNS) {
    const few = recipes.map((own, colour) => bestOf(own, (at) => reduced(colour, at), most));
    const model = modelOf(few, linked, true);
    const limits = { gap, seconds: asked.seconds };
    const found = yield* solved({ ...model.problem, ...limits }, 'choosing packages');
    if (found === undefined) continue;
    const cost = model.costOf(found.values);
    if (cost < least) [least, best] = [cost, model.listFrom(found.values)];
    if (longest <= most) bound = Math.max(bound, found.bound);
    if (longest <= most || least - bound <= gap * least) break;
  }
  if (best === undefined) throw notSolved();
  // A column that costs more than this by its price is in no list better than the one at hand.
  const room = least - lowest + A_HAIR;
  const rest = recipes.map(
    (own, colour) => new Set(own.flatMap((_, at) => (reduced(colour, at) <= room ? [at] : []))),
  );
  const count = rest.reduce((sum, own) => sum + own.size, 0);
  if (least - bound > gap * least && count <= MOST_COLUMNS) {
    const model = modelOf(rest, linked, true);
    const limits = { gap, seconds: asked.seconds };
    const found = yield* solved({ ...model.problem, ...limits }, 'proving the list');
    if (found !== undefined) {
      bound = Math.max(bound, found.bound);
      if (model.costOf(found.values) < least) best = model.listFrom(found.values);
    }
  }
  best = { ...best, chosen: firstThatFit(asked, best) };
  const { chosen } = best;
  const unmet = makeable.filter((colour) => chosen[colour] === undefined).length;
  return { ...best, bound: Math.min(best.cost, Math.max(0, bound - unmet * penaltyOf(asked))) };
}

/** Costs more than any list: a colour is left out only where nothing else is allowed. */
function penaltyOf({ blocks, recipes }: ShoppingAsked): number {
  const most = Math.max(1, ...blocks.map(({ cost }) => cost));
  return most * (recipes.length + 1) * 3;
}

/** The recipes whose grams beyond the stock cost least. */
function cheapest(
  own: readonly ShopRecipe[],
  { blocks }: ShoppingAsked,
  most: number,
): readonly number[] {
  return [
    ...bestOf(
      own,
      (at) =>
        own[at].uses.reduce((sum, { block, grams }) => {
          const { cost, packageG, onHandG } = blocks[block];
          return sum + (Math.max(0, grams - onHandG) * cost) / packageG;
        }, 0),
      most,
    ),
  ];
}

function bestOf(
  own: readonly ShopRecipe[],
  costOf: (at: number) => number,
  most: number,
): Set<number> {
  const costs = own.map((_, at) => costOf(at));
  return new Set(
    own
      .map((_, at) => at)
      .sort((one, other) => costs[one] - costs[other])
      .slice(0, most),
  );
}

/** The most packages of each block that any choice of recipes needs. */
function mostPackagesOf({ blocks, recipes }: ShoppingAsked): readonly number[] {
  const need = new Float64Array(blocks.length);
  for (const own of recipes) {
    const most = new Map<number, number>();
    for (const { uses } of own) {
      for (const { block, grams } of uses) {
        most.set(block, Math.max(grams, most.get(block) ?? 0));
      }
    }
    for (const [block, grams] of most) need[block] += grams;
  }
  return blocks.map(({ packageG, isClosed }, block) =>
    isClosed ? 0 : Math.ceil(need[block] / packageG + A_HAIR),
  );
}

/** Recipes by colour that a problem knows. */
type Columns = readonly ReadonlySet<number>[];

/** The problem of some columns: packages, unmet colours, lines, then the columns, in this order. */
function shopModel(
  asked: ShoppingAsked,
  {
    columns,
    linked,
    whole,
    mostPackages,
  }: {
    readonly columns: Columns;
    readonly linked: ReadonlySet<string>;
    readonly whole: boolean;
    readonly mostPackages: readonly number[];
  },
) {
  const { blocks, recipes, budget, mostLines } = asked;
  const penalty = penaltyOf(asked);
  const lines = mostLines === undefined ? [] : [...new Set(blocks.map(({ line }) => line))];
  const [unmetAt, lineAt] = [blocks.length, blocks.length + recipes.length];
  const listed = recipes.flatMap((_, colour) =>
    [...columns[colour]].map((recipe) => ({ colour, recipe })),
  );
  const columnAt = lineAt + lines.length;
  const coverTerms: (readonly [number, number])[][] = recipes.map((_, colour) => [
    [unmetAt + colour, 1],
  ]);
  const packageTerms: (readonly [number, number])[][] = blocks.map(({ packageG }, block) => [
    [block, packageG],
  ]);
  const linkAt = new Map([...linked].map((key, i) => [key, i]));
  // A colour that uses a block of which nothing is at hand needs a package of that block.
  const linkTerms: (readonly [number, number])[][] = [...linked].map((key) => [
    [Number(key.split(' ')[1]), 1],
  ]);
  listed.forEach(({ colour, recipe }, i) => {
    const column = columnAt + i;
    coverTerms[colour].push([column, 1]);
    for (const { block, grams } of recipes[colour][recipe].uses) {
      packageTerms[block].push([column, -grams]);
      const link = linkAt.get(`${colour} ${block}`);
      if (link !== undefined) linkTerms[link].push([column, -1]);
    }
  });
  const cover = coverTerms.map((terms): LinearRow => ({ terms, least: 1 }));
  const packageRows = packageTerms.map(
    (terms, block): LinearRow => ({ terms, least: -blocks[block].onHandG }),
  );
  const linkRows = linkTerms.map((terms): LinearRow => ({ terms, least: 0 }));
  const money: LinearRow[] =
    budget === undefined
      ? []
      : [{ terms: blocks.map(({ cost }, block) => [block, cost] as const), most: budget }];
  const lineRows: LinearRow[] =
    mostLines === undefined
      ? []
      : [
          { terms: lines.map((_, i) => [lineAt + i, 1] as const), most: mostLines },
          ...blocks.map(({ line }, block) => ({
            terms: [
              [lineAt + lines.indexOf(line), Math.max(1, mostPackages[block])] as const,
              [block, -1] as const,
            ],
            least: 0,
          })),
        ];
  const problem: LinearProblem = {
    costs: [
      ...blocks.map(({ cost }) => cost),
      ...recipes.map(() => penalty),
      ...lines.map(() => 0),
      ...listed.map(() => 0),
    ],
    most: [...mostPackages, ...recipes.map(() => 1), ...lines.map(() => 1), ...listed.map(() => 1)],
    whole: [
      ...blocks.map(() => whole),
      ...recipes.map(() => whole),
      ...lines.map(() => whole),
      ...listed.map(() => whole),
    ],
    rows: [...cover, ...packageRows, ...linkRows, ...money, ...lineRows],
  };
  const firstLink = cover.length + packageRows.length;
  return {
    problem,
    costOf: (values: readonly number[]) =>
      problem.costs.reduce((sum, cost, i) => sum + cost * values[i], 0),
    /** What one of a column would change of the cost, at the prices of the rows. */
    reducedCost(prices: readonly number[], colour: number, recipe: number): number {
      const { uses } = recipes[colour][recipe];
      let cost = -prices[colour];
      for (const { block, grams } of uses) cost += grams * prices[cover.length + block];
      for (const { block } of uses) {
        const link = linkAt.size === 0 ? undefined : linkAt.get(`${colour} ${block}`);
        if (link !== undefined) cost += prices[firstLink + link];
      }
      return cost;
    },
    /** Colours that use a block more than packages of it are bought. */
    brokenLinks(values: readonly number[]): string[] {
      const used = new Map<string, number>();
      listed.forEach(({ colour, recipe }, i) => {
        const much = values[columnAt + i];
        if (much < A_HAIR) return;
        for (const { block } of recipes[colour][recipe].uses) {
          if (blocks[block].onHandG > 0) continue;
          const key = `${colour} ${block}`;
          used.set(key, (used.get(key) ?? 0) + much);
        }
      });
      return [...used].flatMap(([key, much]) =>
        !linked.has(key) && much > values[Number(key.split(' ')[1])] + 1e-4 ? [key] : [],
      );
    },
    listFrom(values: readonly number[]): Omit<ShoppingList, 'bound'> {
      const chosen = recipes.map((_, colour) => {
        const at = listed.findIndex(
          (one, i) => one.colour === colour && values[columnAt + i] > 0.5,
        );
        return at < 0 ? undefined : listed[at].recipe;
      });
      const packages = packagesFor(asked, chosen);
      const cost = packages.reduce((sum, n, block) => sum + n * blocks[block].cost, 0);
      return { packages, chosen, cost };
    },
  };
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

function* solved(problem: LinearProblem, what: string): WorkSteps<LinearSolution | undefined> {
  let found: LinearSolution | undefined;
  yield {
    what,
    run: { step: () => true },
    solve: {
      problem,
      take(solution) {
        found = solution;
      },
    },
  };
  return found;
}

function notSolved(): AppError {
  return new AppError({
    code: 'work-stopped',
    kind: 'unavailable',
    detail: 'No buying list was found in the time allowed.',
    hint: 'Ask for fewer colours at once, or for a smaller tolerance.',
    retry: true,
  });
}
