import { seededChance } from '../numeric/seeded-chance.ts';
import { bendLikelihood } from './bend-likelihood.ts';
import type { BendResultRow } from './bend-results.ts';
import { fillTerms, TERMS } from './strength-terms.ts';
import { temperedDraws } from './tempered-draws.ts';

/** Draws of the terms, given the tests; all count alike. */
export interface StrengthDraws {
  readonly count: number;
  /** Rows of `TERMS`. */
  readonly terms: Float64Array;
  readonly dips: boolean;
  /** Log of how well this kind of curve explains the tests, over its prior. */
  readonly evidence: number;
}

export interface StrengthSettings {
  readonly draws: number;
  /** Moves of every draw after each step. */
  readonly moves: number;
  readonly seed: number;
}

/** Measured: more draws or moves change intervals by less than their own steps. */
export const STRENGTH_SETTINGS: StrengthSettings = { draws: 600, moves: 3, seed: 20 };

/**
 * What the tests say of two lines, as draws of the terms.
 * Shape:   tests -> draws; without tests, the prior
 * Holds:   the same tests and settings give the same draws; the tolerance never falls with a larger share,
 *          unless `dips`
 */
export function fitStrength(
  tests: readonly BendResultRow[],
  dips = false,
  { draws: count, moves, seed }: StrengthSettings = STRENGTH_SETTINGS,
): StrengthDraws {
  const likelihood = bendLikelihood(tests, dips);
  const { width } = likelihood;
  const { z, evidence } = temperedDraws(likelihood, { count, moves, chance: seededChance(seed) });
  const terms = new Float64Array(count * TERMS);
  for (let i = 0; i < count; i++) fillTerms(z, i * width, terms, i * TERMS);
  return { count, terms, dips, evidence };
}
