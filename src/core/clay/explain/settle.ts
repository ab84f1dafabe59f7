import { alternativeFromFit, type ModelAlternative } from '../clay-model.ts';
import { fitClays } from '../fit.ts';
import type { Fit } from '../fit-result.ts';
import { type LeftOutTile, leftOutTiles } from '../left-out.ts';
import type { Explanation } from './explain.ts';
import type { Fault } from './fault.ts';
import { isSuspicious } from './weighed.ts';

/** Readings without a likely fault are learned from as they are. */
const LIKELY_RIGHT = 0.5;
/** Explanations below this take no part in predictions and are not named. */
const UNLIKELY = 0.01;
const MOST_ALTERNATIVES = 5;

/** What to learn from a set of readings while it is not settled which of them are wrong. */
export interface Settled {
  /** Of the likeliest explanation. */
  readonly fit: Fit;
  readonly leftOut: readonly LeftOutTile[];
  readonly alternatives: readonly ModelAlternative[];
  /** The likeliest first, together 1; none where nothing seems wrong. */
  readonly explanations: readonly NamedExplanation[];
}

export interface NamedExplanation {
  /** None: the readings are right as they are. */
  readonly faults: readonly Fault[];
  readonly probability: number;
  /** Whether no tile misses far any more. */
  readonly isWhole: boolean;
}

/**
 * The model's fit, and what else the clays may be, out of weighed explanations.
 * Shape:   the fit of the readings as they are, its tiles left out, explanations by falling probability
 * Holds:   `leftOut` has the tiles as they were read, also where the fit takes them otherwise; where
 *          the readings are likely right, everything is as if nothing had been weighed
 */
export function settle(
  fit: Fit,
  leftOut: readonly LeftOutTile[],
  explanations: readonly Explanation[],
): Settled {
  const asRead = explanations.find(({ faults }) => faults.length === 0)?.probability ?? 0;
  const likely = explanations.filter(({ probability }) => probability >= UNLIKELY);
  const [best, ...others] = likely.slice(0, 1 + MOST_ALTERNATIVES);
  if (best === undefined || best.faults.length === 0 || asRead >= LIKELY_RIGHT) {
    return { fit, leftOut, alternatives: [], explanations: [] };
  }
  const { prior, settings } = fit;
  const fine = fitClays(best.readings, prior, settings, best.fit);
  const wrong = new Set(best.faults.flatMap(({ rows }) => rows));
  const total = [best, ...others].reduce((sum, { probability }) => sum + probability, 0);
  return {
    fit: fine,
    leftOut: leftOutTiles(fine).map((tile, row) => (wrong.has(row) ? leftOut[row] : tile)),
    alternatives: others.map((each) =>
      alternativeFromFit(each.fit, each.probability / total, fine.set.clays),
    ),
    explanations: [best, ...others].map((each) => ({
      faults: each.faults,
      probability: each.probability / total,
      isWhole: !isSuspicious(each.leftOut),
    })),
  };
}
