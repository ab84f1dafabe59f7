/** Settings of a fit; the defaults are the ones the product uses everywhere. */
export interface FitSettings {
  /**
   * Standard deviation of the exponent of dilution. Tight, because most clays may well add simply;
   * the tints of concentrates still move it to 0.042, against 0.046 when it is left free.
   */
  readonly dilutionSpread: number;
  /** Standard deviation of the exponent of shares, see `amountsOf`. */
  readonly shareSpread: number;
  /** Standard deviation of the gloss share of readings that do not state one, around a half. */
  readonly glossSpread: number;
  /** Middle and standard deviation of ln(scattering of white per mm). */
  readonly lnScatteringPerMm: { readonly mean: number; readonly spread: number };
  /** Standard deviation of a photo's correction error, CIELAB units per axis. */
  readonly photoSpread: number;
  /**
   * Relative standard deviation by which a combination of clays departs from simple addition, before the
   * tiles show how far theirs do; it counts as `combinationWeight` departures that were seen.
   */
  readonly combinationSpread: number;
  readonly combinationWeight: number;
  /** Standard deviation of ln(scale) between two groups of clays that no tile joins. */
  readonly groupSpread: number;
  readonly maxIterations: number;
  /**
   * The fit has converged when no tile's fitted value moves by more than this share of its noise.
   */
  readonly tolerance: number;
}

export const FIT_SETTINGS: FitSettings = {
  dilutionSpread: 0.05,
  shareSpread: 0.1,
  glossSpread: 0.5,
  lnScatteringPerMm: { mean: Math.log(20), spread: 1 },
  photoSpread: 0.8,
  combinationSpread: 0.04,
  combinationWeight: 10,
  groupSpread: 0.35,
  maxIterations: 60,
  tolerance: 0.01,
};
