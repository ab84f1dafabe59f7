import type { BlockFactor } from './block-cholesky.ts';
import type { Belief } from './families.ts';
import type { FitSettings } from './fit-settings.ts';
import type { SharedPhysics } from './mixture.ts';
import type { PreparedSet } from './prepare.ts';
import type { Coefficients, Prior } from './prior.ts';
import type { PreparedTile, TileSlopes } from './tile-equations.ts';

/** What the fit learned, at the optimum. */
export interface Fit {
  readonly set: PreparedSet;
  readonly prior: Prior;
  readonly settings: FitSettings;
  /** Belief about each block before its tiles, with the families known. */
  readonly beliefs: readonly Belief[];
  /** Unknowns by block. */
  readonly unknowns: readonly Float64Array[];
  readonly coefficients: readonly Coefficients[];
  readonly physics: SharedPhysics;
  /** Cholesky factor of the precision of all unknowns at the optimum. */
  readonly factor: BlockFactor;
  /** How far combinations of clays were seen to depart from simple addition, ln amount. */
  readonly combinationSpread: number;
  readonly tiles: readonly FittedTile[];
  /** Of readings that do not state it, once clear: whether they hold the gloss. */
  readonly glossSnapped?: 'included' | 'excluded';
  readonly iterations: number;
  readonly converged: boolean;
  /** Largest move of a fitted value in the last step, as a share of its noise. */
  readonly lastMove: number;
}

/** A tile as the clays predict it at one point. */
export interface SeenTile {
  readonly tile: PreparedTile;
  readonly slopes: TileSlopes;
  /** Reading less prediction. */
  readonly residual: Float64Array;
}

export interface FittedTile extends SeenTile {
  /** 1 for an ordinary tile, towards 0 for one that disagrees with the others. */
  readonly weight: number;
}
