/** A linear cost of unknowns between 0 and their most, under rows that hold. */
export interface LinearProblem {
  /** Cost of one of each unknown. */
  readonly costs: readonly number[];
  /** The most of each unknown. */
  readonly most: readonly number[];
  /** Which unknowns must be whole numbers. */
  readonly whole: readonly boolean[];
  readonly rows: readonly LinearRow[];
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
}

/** Solves such problems to the end, or says by `undefined` that no values keep to all rows. */
export type Optimiser = (problem: LinearProblem) => LinearSolution | undefined;
