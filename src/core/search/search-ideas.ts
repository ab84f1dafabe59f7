/**
 * Ideas that make the search fast. Each can be switched off to measure its worth (bench/find.ts);
 * the answer is the same without any of them.
 */
export interface SearchIdeas {
  /** Similar clays are examined together. */
  readonly groups: boolean;
  /** Compositions of one set are halved repeatedly instead of tried one by one. */
  readonly cells: boolean;
  /** Bundles are tested against lightness and hue sides as well as X, Y and Z. */
  readonly sides: boolean;
  /** Walks from good recipes come first, so that bundles can be compared with good errors. */
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
