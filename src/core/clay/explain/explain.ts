import type { Fit } from '../fit-result.ts';
import { type LeftOutTile, leftOutTiles } from '../left-out.ts';
import type { TileReading } from '../tile-reading.ts';
import { candidatesOf } from './candidates.ts';
import type { Fault } from './fault.ts';
import { rowsToLeaveOut, shortlist } from './shortlist.ts';
import { isSuspicious, type Weighed, weighedFit, withoutMore } from './weighed.ts';

/** One way in which all tiles may agree; no fault is the readings as they are. */
export interface Explanation {
  readonly faults: readonly Fault[];
  /** Among all explanations that were weighed, 0-1. */
  readonly probability: number;
  /** Accurate enough for comparing, where there is a fault. */
  readonly fit: Fit;
  readonly leftOut: readonly LeftOutTile[];
  /** Readings without the faults. */
  readonly readings: readonly TileReading[];
}

/** Weighing of explanations, piece by piece. */
export interface ExplainRun {
  /** One fit or less; true once all is weighed. */
  step(): boolean;
  /** The likeliest first, as far as they were weighed; first of all the readings as they are. */
  explanations(): readonly Explanation[];
}

/**
 * Most faults that are looked for: one in so many tiles, within these bounds. Where more tiles miss, it is
 * not single tiles that are wrong, and each round takes seconds.
 */
const TILES_A_FAULT = 7;
const MOST_FAULTS = [2, 6] as const;
/** What a fault must gain alone to be tried together with others, ln. */
const CLEARLY = 5;
/** An explanation below this share of all is not reported. */
const NEGLIGIBLE = 1e-3;
/**
 * Weighs what may be wrong with a set of readings: as they are, with one fault, and from the likeliest
 * of these on with more, as long as a tile misses too far.
 * Method:  tiles that miss far, and those that may hide behind them, are left out by turns and all at once;
 *          from each such fit their faults are judged without fitting again, and the best are fitted.
 *          They are compared by the density of every reading by all the others
 */
export function explainTiles(
  readings: readonly TileReading[],
  fit: Fit,
  leftOut: readonly LeftOutTile[] = leftOutTiles(fit),
): ExplainRun {
  const start = weighedFit([], 0, readings, fit, leftOut);
  const weighed: Weighed[] = [start];
  const [fewest, most] = MOST_FAULTS;
  const mostFaults = Math.min(most, Math.max(fewest, Math.round(readings.length / TILES_A_FAULT)));
  let base = start;
  let round: Iterator<undefined> | undefined;
  return {
    step() {
      if (round === undefined) {
        if (base.faults.length >= mostFaults || !isSuspicious(base.leftOut)) return true;
        round = weighMore(base, mostFaults, weighed);
      }
      if (round.next().done !== true) return false;
      round = undefined;
      const best = weighed.reduce((a, b) => (b.ln > a.ln ? b : a));
      if (best === base || best.faults.length <= base.faults.length) return true;
      base = best;
      return false;
    },
    explanations() {
      const most = Math.max(...weighed.map(({ ln }) => ln));
      const shares = weighed.map(({ ln }) => Math.exp(ln - most));
      const total = shares.reduce((sum, v) => sum + v, 0);
      return weighed
        .map((each, i) => ({
          faults: each.faults,
          fit: each.fit,
          leftOut: each.leftOut,
          readings: each.readings,
          probability: shares[i] / total,
        }))
        .filter(({ probability }) => probability > NEGLIGIBLE)
        .sort((a, b) => b.probability - a.probability);
    },
  };
}

/** One round: explanations with more faults than the base are added, a fit at a time. */
function* weighMore(base: Weighed, mostFaults: number, weighed: Weighed[]): Iterator<undefined> {
  const labs = base.leftOut.map(({ read }) => read);
  const { byTurns, atOnce } = rowsToLeaveOut(base);
  const alone = candidatesOf(base.readings, labs, atOnce).filter(
    ({ fault }) => fault.kind === 'reading',
  );
  if (alone.length === 0) return;
  const withoutOne: Weighed[] = [];
  for (const { fault, lnPrior } of alone) {
    if (!byTurns.includes(fault.rows[0])) continue;
    withoutOne.push(withoutMore(base, [fault], lnPrior));
    yield;
  }
  const all = alone.map(({ fault }) => fault);
  const listed = shortlist(base, withoutOne, withoutMore(base, all, 0));
  yield;
  const found = [...withoutOne];
  for (const { fault, lnPrior } of listed) {
    found.push(withoutMore(base, [fault], lnPrior));
    yield;
  }
  weighed.push(...found);
  const together = apart(
    found.filter(({ ln }) => ln > base.ln + CLEARLY),
    base,
  );
  const most = together.slice(0, mostFaults - base.faults.length);
  if (most.length > 1) {
    const faults = most.map((each) => each.faults[base.faults.length]);
    const lnPrior = most.reduce((sum, each) => sum + each.lnPrior - base.lnPrior, 0);
    weighed.push(withoutMore(base, faults, lnPrior));
  }
}

/** The best explanations that concern no row twice, the best first. */
function apart(found: readonly Weighed[], base: Weighed): Weighed[] {
  const taken = new Set<number>();
  return found
    .toSorted((a, b) => b.ln - a.ln)
    .filter(({ faults }) => {
      const { rows } = faults[base.faults.length];
      if (rows.some((row) => taken.has(row))) return false;
      for (const row of rows) taken.add(row);
      return true;
    });
}
