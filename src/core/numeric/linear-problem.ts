/** A linear cost of unknowns between 0 and their most, under rows that hold. */
export interface LinearProblem {
  /** Cost of one of each unknown. */
  readonly costs: readonly number[];
  /** The most of each unknown. */
  readonly most: readonly number[];
  /** Which unknowns must be whole numbers. */
  readonly whole: readonly boolean[];
  readonly rows: readonly LinearRow[];
  /** Good enough: the cost is within this share of the bound. To the end when absent. */
  readonly gap?: number;
  /**
   * With whole numbers: ends after about so many steps of the simplex method with the best so far, on a slow or
   * busy computer with the same.
   */
  readonly steps?: number;
  /** Ends after so many seconds with the best so far. */
  readonly seconds?: number;
}

export interface LinearRow {
  /** Unknowns by place, each with its factor. */
  readonly terms: readonly (readonly [at: number, factor: number])[];
  readonly least?: number;
  readonly most?: number;
}

export interface LinearSolution {
  readonly values: readonly number[];
  readonly cost: number;
  /** No solution costs less. */
  readonly bound: number;
  /** What one more of the limit of each row would change of the cost; of problems without whole numbers. */
  readonly prices?: readonly number[];
}

/** Solves such problems, or says by `undefined` that no values keep to all rows, or that none were found in time. */
export type Optimiser = (problem: LinearProblem) => LinearSolution | undefined;
