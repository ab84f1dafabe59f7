/** One clay of a mix and how many equal parts of it go in. */
export interface RecipeTerm {
  readonly clay: string;
  readonly parts: number;
}

/** What a mix is made of, in the order it was written. Never empty. */
export type Recipe = readonly RecipeTerm[];

/** Far above any real recipe; these limits stop a damaged file from costing time or precision. */
export const RECIPE_LIMITS = {
  characters: 10_000,
  terms: 200,
  depth: 8,
  nameCharacters: 200,
  fewestParts: 1e-6,
  mostParts: 1e6,
} as const;
