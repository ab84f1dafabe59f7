import { type BendResultRow, type BlendAsked, HOLDS_UP_TO, type PartBulk } from './bend-results.ts';
import { mostFailing } from './exact-bound.ts';
import {
  fitStrength,
  STRENGTH_SETTINGS,
  type StrengthDraws,
  type StrengthSettings,
} from './fit-strength.ts';
import { AT, placeOfShare, TERMS, toleranceAt } from './strength-terms.ts';

/** What the tests say of two lines. */
export interface StrengthBelief {
  readonly tests: readonly BendResultRow[];
  readonly draws: StrengthDraws;
  /** Chance that a blend of the two is weaker than both rules allow: they do not get on. */
  readonly clashChance: number;
}

/** Two lines do not get on in 1 of 10 pairs, believed before any test; ours, no source. */
const CLASH_PRIOR = 0.1;
/** From here on the answer says so, and the chance may fall with more of the strong line. */
export const CLASH_SURE = 0.8;
/** With fewer results between the two lines, nothing can be said of how they get on. */
const LEAST_BETWEEN = 3;

/** Belief in two lines from all tests of their blends. */
export function strengthBelief(
  tests: readonly BendResultRow[],
  settings: StrengthSettings = STRENGTH_SETTINGS,
): StrengthBelief {
  const rising = fitStrength(tests, false, settings);
  const between = tests.filter(({ share }) => share > 0 && share < 1).length;
  if (between < LEAST_BETWEEN) return { tests, draws: rising, clashChance: CLASH_PRIOR };
  const dipping = fitStrength(tests, true, settings);
  const odds = (CLASH_PRIOR / (1 - CLASH_PRIOR)) * Math.exp(dipping.evidence - rising.evidence);
  const clashChance = odds / (1 + odds);
  return { tests, draws: clashChance >= CLASH_SURE ? dipping : rising, clashChance };
}

/** What is asked of a blend: a strain, and what counts as holding. */
export interface Load extends BlendAsked {
  readonly strain: number;
  readonly bulk: PartBulk;
}

/** Scatter of a new bake: five points with the weights of a normal variable. Source: [AbramowitzStegun1964] table 25.10 */
const BAKES = [-2.856970013872806, -1.355626179974266, 0, 1.355626179974266, 2.856970013872806];
const BAKE_WEIGHTS = [
  0.011257411327720682, 0.2220759220056126, 0.5333333333333333, 0.2220759220056126,
  0.011257411327720682,
];

/** For every draw: the share of new specimens that hold, over new bakes. */
export function holdingShares(
  { count, terms, dips }: StrengthDraws,
  share: number,
  load: Load,
): Float64Array {
  const place = placeOfShare(share);
  const logStrain = Math.log(load.strain);
  const above = HOLDS_UP_TO[load.bulk] + 1;
  return Float64Array.from({ length: count }, (_, i) => {
    const from = i * TERMS;
    const x =
      logStrain -
      toleranceAt(terms, from, share, place, dips) +
      terms[from + AT.translucent] * load.translucent +
      terms[from + AT.powder] * load.powder;
    const start = terms[from + AT.starts + above];
    const scatter = terms[from + AT.batch];
    const softness = terms[from + AT.softness];
    let sum = 0;
    for (let b = 0; b < BAKES.length; b++) {
      sum += BAKE_WEIGHTS[b] / (1 + Math.exp((x + scatter * BAKES[b] - start) / softness));
    }
    return sum;
  });
}

export interface HoldingChance {
  /** Mean over all that may be so. */
  readonly chance: number;
  /** 95 % interval. */
  readonly low: number;
  readonly high: number;
  /** The value that nine in ten cases reach. */
  readonly sure: number;
  /** The value that nine in ten cases stay below. */
  readonly hopeful: number;
  /** Results at least as hard on the clay, with no more of the strong line, and how many of them held. */
  readonly asHard: { readonly held: number; readonly tests: number; readonly mostFailing: number };
}

/**
 * Chance that a blend holds, with everything that backs it.
 * Units:   0-1
 * Holds:   never lower with more of the strong line, unless the two lines do not get on
 */
export function holdingChance(belief: StrengthBelief, share: number, load: Load): HoldingChance {
  const sorted = holdingShares(belief.draws, share, load).sort();
  const at = (q: number) => sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
  const hard = resultsAsHard(belief, load).filter((test) => test.share <= share + 1e-9);
  const held = hard.filter(({ grade }) => grade <= HOLDS_UP_TO[load.bulk]).length;
  return {
    chance: sorted.reduce((sum, p) => sum + p, 0) / sorted.length,
    low: at(0.025),
    high: at(0.975),
    sure: at(0.1),
    hopeful: at(0.9),
    asHard: { held, tests: hard.length, mostFailing: mostFailing(hard.length - held, hard.length) },
  };
}

/** Results of bends at least as hard as a load, in blends at least as weak. */
export function resultsAsHard(belief: StrengthBelief, load: Load): readonly BendResultRow[] {
  return belief.tests.filter(
    ({ rankOnly, strain, translucent, powder }) =>
      !rankOnly &&
      strain >= load.strain * 0.999 &&
      translucent >= load.translucent - 1e-9 &&
      powder >= load.powder - 1e-9,
  );
}
