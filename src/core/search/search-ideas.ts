/**
 * What makes the search fast, each to be left out alone so that its worth can be measured
 * (bench/find.ts). The answer is the same without any of them.
 */
export interface SearchIdeas {
  /** Clays that are alike are looked at together. */
  readonly groups: boolean;
  /** Compositions of one set are halved again and again, not tried one by one. */
  readonly cells: boolean;
  /** Bundles are held against lightness and hue sides, not against X, Y and Z alone. */
  readonly sides: boolean;
  /** Walks from good beginnings first, so that there is something to hold bundles against. */
  readonly walks: boolean;
  /** Bounds in WebAssembly, four bands at a time. */
  readonly kernel: boolean;
}

export const ALL_IDEAS: SearchIdeas = {
  groups: true,
  cells: true,
  sides: true,
  walks: true,
  kernel: true,
};
