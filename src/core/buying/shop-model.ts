import type { LinearProblem, LinearRow } from '../numeric/linear-problem.ts';
import type { ShoppingAsked } from './shopping-asked.ts';

/** Recipes by colour that a problem knows, as places in the list of the colour. */
export type RecipesListed = readonly ReadonlySet<number>[];

type Term = readonly [at: number, factor: number];

export interface ShopTerms {
  readonly columns: RecipesListed;
  /** Colours and blocks that are tied, as `linkOf` has them. */
  readonly linked: ReadonlySet<number>;
  /** Whole packages and whole recipes, or shares of them. */
  readonly whole: boolean;
  readonly limits: ShopLimits;
  /** Packages that are bought in any case; none when absent. */
  readonly least?: readonly number[];
  /** Share of every block that recipes may use; all of it when absent. */
  readonly usable?: number;
}

/** Prices of what the rows of a solved problem ask for. */
export interface ShopPrices {
  /** Of meeting each colour. */
  readonly colours: readonly number[];
  /** Of a gram of each block. */
  readonly blocks: readonly number[];
  /** Of a link, by `linkOf`; 0 where none is. */
  readonly links: Float64Array;
}

const A_HAIR = 1e-6;

/** What limits every list of some blocks and recipes. */
export interface ShopLimits {
  /** The most packages of each block that any choice of recipes needs. */
  readonly mostPackages: readonly number[];
  /** Costs more than any choice of recipes: a colour is left out only where nothing else is allowed. */
  readonly penalty: number;
}

/** Limits that hold also where a share of the clay is left unused, `usable` at least. */
export function shopLimits({ blocks, recipes }: ShoppingAsked, usable: number): ShopLimits {
  const need = new Float64Array(blocks.length);
  let penalty = 1;
  for (const own of recipes) {
    const most = new Float64Array(blocks.length);
    let dearest = 0;
    for (const { uses } of own) {
      let cost = 0;
      for (const { block, grams } of uses) {
        most[block] = Math.max(most[block], grams);
        const { isClosed, packageG, cost: each } = blocks[block];
        if (!isClosed) cost += each * Math.ceil(grams / packageG);
      }
      dearest = Math.max(dearest, cost);
    }
    for (const [block, grams] of most.entries()) need[block] += grams;
    penalty += dearest;
  }
  const mostPackages = blocks.map(({ packageG, isClosed }, block) =>
    isClosed ? 0 : Math.ceil(need[block] / (usable * packageG) + A_HAIR),
  );
  return { mostPackages, penalty };
}

/**
 * The problem of some columns: packages, unmet colours, lines, then the columns, in this order.
 * A colour whose recipe takes more of a block than is at hand needs a package of that block; without such links
 * a small share of a package would seem to be enough.
 */
export function shopModel(
  asked: ShoppingAsked,
  { columns, linked, whole, limits, least, usable = 1 }: ShopTerms,
) {
  const { blocks, recipes, budget, mostLines } = asked;
  const { mostPackages, penalty } = limits;
  const lines = mostLines === undefined ? [] : [...new Set(blocks.map(({ line }) => line))];
  const [unmetAt, lineAt] = [blocks.length, blocks.length + recipes.length];
  const listed = recipes.flatMap((_, colour) =>
    [...columns[colour]].map((recipe) => ({ colour, recipe })),
  );
  const columnAt = lineAt + lines.length;
  const coverTerms: Term[][] = recipes.map((_, colour) => [[unmetAt + colour, 1]]);
  const packageTerms: Term[][] = blocks.map(({ packageG }, block) => [[block, usable * packageG]]);
  const links = [...linked];
  const linkAt = new Map(links.map((link, i) => [link, i]));
  const linkTerms: Term[][] = links.map((link) => [[link % blocks.length, 1]]);
  listed.forEach(({ colour, recipe }, i) => {
    const column = columnAt + i;
    coverTerms[colour].push([column, 1]);
    for (const { block, grams } of recipes[colour][recipe].uses) {
      packageTerms[block].push([column, -grams]);
      if (!needsPackage(asked, block, grams)) continue;
      const link = linkAt.get(linkOf(asked, colour, block));
      if (link !== undefined) linkTerms[link].push([column, -1]);
    }
  });
  const cover = coverTerms.map(
    (terms, colour): LinearRow => ({ terms, least: recipes[colour].length === 0 ? 0 : 1 }),
  );
  const packageRows = packageTerms.map(
    (terms, block): LinearRow => ({ terms, least: -usable * blocks[block].onHandG }),
  );
  const linkRows = linkTerms.map((terms): LinearRow => ({ terms, least: 0 }));
  const bought = (least ?? []).map((n, block): LinearRow => ({ terms: [[block, 1]], least: n }));
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
  const count = blocks.length + recipes.length + lines.length + listed.length;
  const problem: LinearProblem = {
    costs: [
      ...blocks.map(({ cost }) => cost),
      ...recipes.map(() => penalty),
      ...lines.map(() => 0),
      ...listed.map(() => 0),
    ],
    most: [...mostPackages, ...recipes.map(() => 1), ...lines.map(() => 1), ...listed.map(() => 1)],
    whole: new Array<boolean>(count).fill(whole),
    rows: [...cover, ...packageRows, ...linkRows, ...bought, ...money, ...lineRows],
  };
  return {
    problem,
    costOf: (values: readonly number[]) =>
      problem.costs.reduce((sum, cost, i) => sum + cost * values[i], 0),
    pricesFrom(rows: readonly number[]): ShopPrices {
      const firstBlock = cover.length;
      const firstLink = firstBlock + blocks.length;
      const own = new Float64Array(recipes.length * blocks.length);
      links.forEach((link, i) => {
        own[link] = rows[firstLink + i];
      });
      return {
        colours: rows.slice(0, firstBlock),
        blocks: rows.slice(firstBlock, firstLink),
        links: own,
      };
    },
    /** Colours that take more of a block than is at hand, and more often than packages of it are bought. */
    brokenLinks(values: readonly number[]): readonly number[] {
      const used = new Map<number, number>();
      listed.forEach(({ colour, recipe }, i) => {
        const much = values[columnAt + i];
        if (much < A_HAIR) return;
        for (const { block, grams } of recipes[colour][recipe].uses) {
          if (!needsPackage(asked, block, grams)) continue;
          const link = linkOf(asked, colour, block);
          used.set(link, (used.get(link) ?? 0) + much);
        }
      });
      return [...used].flatMap(([link, much]) =>
        !linked.has(link) && much > values[link % blocks.length] + 1e-4 ? [link] : [],
      );
    },
    chosenFrom: (values: readonly number[]): (number | undefined)[] =>
      recipes.map((_, colour) => {
        const at = listed.findIndex(
          (one, i) => one.colour === colour && values[columnAt + i] > 0.5,
        );
        return at < 0 ? undefined : listed[at].recipe;
      }),
  };
}

/** The key of a colour and a block. */
export function linkOf({ blocks }: ShoppingAsked, colour: number, block: number): number {
  return colour * blocks.length + block;
}

/** Whether so much of a block is more than what is at hand. */
export function needsPackage({ blocks }: ShoppingAsked, block: number, grams: number): boolean {
  return grams > blocks[block].onHandG + A_HAIR;
}
