import { fitClays } from '../fit.ts';
import type { Fit } from '../fit-result.ts';
import { type LeftOutTile, leftOutTiles, missFactorOf } from '../left-out.ts';
import type { TileReading } from '../tile-reading.ts';
import { type Candidate, candidatesOf } from './candidates.ts';
import { type Fault, withoutFault } from './fault.ts';
import { MOST_MISS, screenOf } from './screen.ts';

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

/** Explanations that are fitted in each round. */
const REFITS = 6;
/** Tiles that are left out by turns in each round, to see whether the others then agree. */
const LEFT_OUT = 8;
/** Of these, tiles that miss far; the others share a clay with one of them and may hide in its place. */
const FARTHEST = 3;
/** A clay in more than this share of the tiles, as white is, does not point at its tiles. */
const COMMON = 0.4;
/** Explanations this much less likely than the best are not fitted, ln. */
const HOPELESS = 14;
/**
 * Most faults that are looked for: one in so many tiles, within these bounds. Where more tiles miss, it is
 * not single tiles that are wrong, and each round takes seconds.
 */
const TILES_A_FAULT = 12;
const MOST_FAULTS = [2, 6] as const;
/** An explanation below this share of all is not reported. */
const NEGLIGIBLE = 1e-3;
/** Accuracy that is enough for comparing. */
const ROUGH = { tolerance: 0.3, maxIterations: 12 };

interface Weighed {
  readonly faults: readonly Fault[];
  readonly readings: readonly TileReading[];
  readonly fit: Fit;
  readonly leftOut: readonly LeftOutTile[];
  /** ln of chance and density. */
  readonly ln: number;
  readonly lnPrior: number;
}

/**
 * Weighs what may be wrong with a set of readings: as they are, with one fault, and from the likeliest
 * of these on with one fault more, as long as a tile misses too far.
 * Method:  tiles that miss far, and those that may hide behind them, are left out by turns; from each
 *          such fit all faults of the tile are judged without fitting again, and the best are fitted.
 *          They are compared by the density of every reading by all the others
 */
export function explainTiles(
  readings: readonly TileReading[],
  fit: Fit,
  leftOut: readonly LeftOutTile[] = leftOutTiles(fit),
): ExplainRun {
  const widening = missFactorOf(leftOut);
  const start: Weighed = {
    faults: [],
    readings,
    fit,
    leftOut,
    ln: densityOf(leftOut, widening),
    lnPrior: 0,
  };
  const weighed: Weighed[] = [start];
  const [fewest, most] = MOST_FAULTS;
  const mostFaults = Math.min(most, Math.max(fewest, Math.round(readings.length / TILES_A_FAULT)));
  let base = start;
  let rows: number[] | undefined;
  let without: Weighed[] = [];
  let queue: Candidate[] | undefined;
  return {
    step() {
      if (rows === undefined) {
        if (base.faults.length >= mostFaults || !isSuspicious(base.leftOut, widening)) return true;
        rows = rowsToLeaveOut(base);
        without = [];
        queue = undefined;
        return rows.length === 0;
      }
      const row = rows.shift();
      if (row !== undefined) {
        const alone = candidatesOf(base.readings, labsOf(base), [row]).find(
          ({ fault }) => fault.kind === 'reading',
        );
        if (alone !== undefined) without.push(fitted(base, alone, widening));
        return false;
      }
      if (queue === undefined) {
        weighed.push(...without);
        queue = bestCandidates(base, without, widening);
        return false;
      }
      const next = queue.shift();
      if (next !== undefined) {
        weighed.push(fitted(base, next, widening));
        return false;
      }
      const best = weighed.reduce((a, b) => (b.ln > a.ln ? b : a));
      rows = undefined;
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

/** Squared miss, three degrees, that a tile of clean readings hardly ever reaches. */
function gateOf(tiles: number): number {
  return 15 + 2 * Math.log(tiles);
}

/** Whether a tile misses so far that something may be wrong with a tile. */
export function isSuspicious(leftOut: readonly LeftOutTile[], widening: number): boolean {
  const worst = Math.max(...leftOut.map(({ standardised }) => standardised));
  return (3 * worst) / widening ** 2 > gateOf(leftOut.length);
}

function labsOf({ leftOut }: Weighed) {
  return leftOut.map(({ read }) => read);
}

/**
 * The tiles that miss farthest, and those that share a clay with one of them: a wrong tile that the
 * others hardly determine draws the fit to itself, and a right one misses in its place.
 */
function rowsToLeaveOut({ fit, leftOut, faults, readings }: Weighed): number[] {
  const touched = new Set(faults.flatMap(({ rows }) => rows));
  const open = leftOut.flatMap((_, row) =>
    touched.has(row) || readings[row].checked === true ? [] : [row],
  );
  const farthest = open
    .toSorted((a, b) => leftOut[b].standardised - leftOut[a].standardised)
    .slice(0, FARTHEST);
  const { tiles, clays } = fit.set;
  const uses = clays.map(
    (_, clay) => tiles.filter(({ parts }) => parts.some((part) => part.clay === clay)).length,
  );
  const clayOf = (row: number) =>
    tiles[row].parts.map(({ clay }) => clay).filter((clay) => uses[clay] <= COMMON * tiles.length);
  const hiding = farthest.flatMap((row) => {
    const own = new Set(clayOf(row));
    return open
      .filter((other) => clayOf(other).some((clay) => own.has(clay)))
      .sort((a, b) => leftOut[b].expected - leftOut[a].expected);
  });
  return [...new Set([...farthest, ...hiding])].slice(0, LEFT_OUT);
}

/** Faults of the tiles that were left out, judged from the fits without them. */
function bestCandidates(base: Weighed, without: readonly Weighed[], widening: number): Candidate[] {
  const touched = new Set(base.faults.flatMap(({ rows }) => rows));
  const scores = new Map<string, { candidate: Candidate; score: number }>();
  for (const { fit, ln, lnPrior, faults } of without) {
    const [row] = faults[faults.length - 1].rows;
    const screen = screenOf(fit, base.readings, widening);
    for (const candidate of candidatesOf(base.readings, labsOf(base), [row])) {
      const { fault } = candidate;
      if (fault.kind === 'reading' || fault.rows.some((each) => touched.has(each))) continue;
      const score =
        fault.rows.length > 2
          ? Number.POSITIVE_INFINITY
          : ln - lnPrior + screen(fault) + candidate.lnPrior;
      const key = JSON.stringify(fault);
      const known = scores.get(key);
      if (known === undefined || known.score < score) scores.set(key, { candidate, score });
    }
  }
  const sorted = [...scores.values()].sort((a, b) => b.score - a.score).slice(0, REFITS);
  const best = Math.max(...without.map(({ ln, lnPrior }) => ln - lnPrior), sorted[0]?.score ?? 0);
  return sorted.filter(({ score }) => score > best - HOPELESS).map(({ candidate }) => candidate);
}

function fitted(base: Weighed, { fault, lnPrior }: Candidate, widening: number): Weighed {
  const readings = withoutFault(base.readings, fault);
  const { prior, settings } = base.fit;
  const fit = fitClays(readings, prior, { ...settings, ...ROUGH }, base.fit);
  const leftOut = leftOutTiles(fit);
  return {
    faults: [...base.faults, fault],
    readings,
    fit,
    leftOut,
    ln: densityOf(leftOut, widening) + base.lnPrior + lnPrior,
    lnPrior: base.lnPrior + lnPrior,
  };
}

/** ln density of every reading by all the others. */
function densityOf(leftOut: readonly LeftOutTile[], widening: number): number {
  const f = widening ** 2;
  return leftOut.reduce(
    (sum, { standardised, lnSize }) =>
      sum - (Math.min(MOST_MISS, (3 * standardised) / f) + lnSize + 3 * Math.log(f)) / 2,
    0,
  );
}
