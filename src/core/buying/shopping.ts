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
/** Columns a colour has when whole packages are first chosen. */
const CHOSEN_COLUMNS = 16;
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
  const makeable = recipes.flatMap((own, colour) => (own.length === 0 ? [] : [colour]));
  const columns = recipes.map((own) => new Set(own.keys().take(FIRST_COLUMNS)));
  for (const [colour, own] of recipes.entries()) {
    for (const at of cheapest(own, asked, FIRST_COLUMNS)) columns[colour].add(at);
  }
  const linked = new Set<string>();
  let reduced: (colour: number, recipe: number) => number = () => 0;
  let lowest = 0;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const model = modelOf(asked, columns, linked, false);
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
  const few = recipes.map((own, colour) =>
    bestOf(own, (at) => reduced(colour, at), CHOSEN_COLUMNS),
  );
  const first = modelOf(asked, few, linked, true);
  const found = yield* solved(
    { ...first.problem, gap, seconds: asked.seconds },
    'choosing packages',
  );
  if (found === undefined) throw notSolved();
  let best = first.listFrom(found.values);
  let bound = lowest;
  // A column that costs more than this by its price is in no list better than the one at hand.
  const room = first.costOf(found.values) - lowest + A_HAIR;
  const rest = recipes.map(
    (own, colour) => new Set(own.flatMap((_, at) => (reduced(colour, at) <= room ? [at] : []))),
  );
  const count = rest.reduce((sum, own) => sum + own.size, 0);
  if (count <= MOST_COLUMNS) {
    const all = modelOf(asked, rest, linked, true);
    const whole = yield* solved(
      { ...all.problem, gap, seconds: asked.seconds },
      'proving the list',
    );
    if (whole !== undefined) {
      bound = Math.max(bound, whole.bound);
      if (all.costOf(whole.values) < first.costOf(found.values)) best = all.listFrom(whole.values);
    }
  }
  best = { ...best, chosen: firstThatFit(asked, best) };
  const unmet = makeable.filter((colour) => best.chosen[colour] === undefined).length;
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

/** The problem of some columns: packages, unmet colours, then the columns, in this order. */
function modelOf(
  asked: ShoppingAsked,
  columns: readonly ReadonlySet<number>[],
  linked: ReadonlySet<string>,
  whole: boolean,
) {
  const { blocks, recipes, budget, mostLines } = asked;
  const penalty = penaltyOf(asked);
  const lines = mostLines === undefined ? [] : [...new Set(blocks.map(({ line }) => line))];
  const [unmetAt, lineAt] = [blocks.length, blocks.length + recipes.length];
  const listed = recipes.flatMap((_, colour) =>
    [...columns[colour]].map((recipe) => ({ colour, recipe })),
  );
  const columnAt = lineAt + lines.length;
  const usedIn = (block: number, recipe: ShopRecipe) =>
    recipe.uses.some((use) => use.block === block);
  const need = recipes.map((own) =>
    blocks.map((_, block) =>
      Math.max(
        0,
        ...own.flatMap(({ uses }) =>
          uses.flatMap((use) => (use.block === block ? [use.grams] : [])),
        ),
      ),
    ),
  );
  const mostPackages = blocks.map(({ packageG, isClosed }, block) =>
    isClosed ? 0 : Math.ceil(need.reduce((sum, own) => sum + own[block], 0) / packageG + A_HAIR),
  );
  const cover: LinearRow[] = recipes.map((_, colour) => ({
    terms: [
      [unmetAt + colour, 1] as const,
      ...listed.flatMap((one, i) => (one.colour === colour ? [[columnAt + i, 1] as const] : [])),
    ],
    least: 1,
  }));
  const enough: LinearRow[] = blocks.map(({ packageG, onHandG }, block) => ({
    terms: [
      [block, packageG] as const,
      ...listed.flatMap(({ colour, recipe }, i) => {
        const use = recipes[colour][recipe].uses.find((one) => one.block === block);
        return use === undefined ? [] : [[columnAt + i, -use.grams] as const];
      }),
    ],
    least: -onHandG,
  }));
  const links = [...linked].map((key) => {
    const [colour = 0, block = 0] = key.split(' ').map(Number);
    return { colour, block };
  });
  // A colour that uses a block of which nothing is at hand needs a package of that block.
  const linkRows: LinearRow[] = links.map(({ colour, block }) => ({
    terms: [
      [block, 1] as const,
      ...listed.flatMap((one, i) =>
        one.colour === colour && usedIn(block, recipes[colour][one.recipe])
          ? [[columnAt + i, -1] as const]
          : [],
      ),
    ],
    least: 0,
  }));
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
    rows: [...cover, ...enough, ...linkRows, ...money, ...lineRows],
  };
  const firstLink = cover.length + enough.length;
  return {
    problem,
    costOf: (values: readonly number[]) =>
      problem.costs.reduce((sum, cost, i) => sum + cost * values[i], 0),
    /** What one of a column would change of the cost, at the prices of the rows. */
    reducedCost(prices: readonly number[], colour: number, recipe: number): number {
      const { uses } = recipes[colour][recipe];
      let cost = -prices[colour];
      for (const { block, grams } of uses) cost += grams * prices[cover.length + block];
      links.forEach((link, i) => {
        if (link.colour === colour && uses.some(({ block }) => block === link.block)) {
          cost += prices[firstLink + i];
        }
      });
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
