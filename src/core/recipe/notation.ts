/** One parent of a mix and how many equal parts of it go in. */
export interface RecipeTerm {
  readonly parent: string;
  readonly parts: number;
}

/** What a mix is made of, in the order it was written. Never empty. */
export type Recipe = readonly RecipeTerm[];
