/** A list that may be by more than this dearer than it must be is worth looking for longer. */
export const WIDE_GAP = 0.03;

/** Steps of the optimiser for each problem of whole packages. */
export const OPTIMISER_STEPS = 200_000;

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
  /** Time for each problem of whole packages and recipes at most, s; its steps end it first on most computers. */
  readonly seconds: number;
  /** Whether a list that may be dear is looked for again in another way, which takes minutes. */
  readonly isThorough: boolean;
}

/** What whole packages cost together. */
export function costOfPackages(blocks: readonly ShopBlock[], packages: readonly number[]): number {
  return packages.reduce((sum, n, block) => sum + n * blocks[block].cost, 0);
}
