import { choleskyInPlace, forward } from '../../numeric/dense-cholesky.ts';
import { dotOfSolved } from '../block-cholesky.ts';
import { isPinned, withEffectOffset } from '../fit.ts';
import type { Fit, FittedTile } from '../fit-result.ts';
import { labOfObserved, labRows } from '../left-out.ts';
import { mixSlopes } from '../mixture.ts';
import { newMixSpreadOf } from '../new-mix-spread.ts';
import { addSolved, type Solved, solvedRows } from '../posterior.ts';
import { combinationKey } from '../prepare.ts';
import { addOuter, type PreparedTile, SHARED, tileSlopes } from '../tile-equations.ts';
import type { TileReading } from '../tile-reading.ts';
import { type Fault, withoutFault } from './fault.ts';

/** A tile as the fit sees it, in L, a, b. */
interface Seen {
  /** L⁻¹ Jᵀ of its three values. */
  readonly solved: readonly Solved[];
  readonly predicted: readonly number[];
  /** Of a reading around the prediction, as stated, 3 x 3. */
  readonly noise: Float64Array;
}

/** A squared miss counts as this at most: beyond it a tile is wrong, however far. */
export const MOST_MISS = 60;

/** How much likelier all readings are than in the fit, ln: without a fault, or with some rows as they are read. */
export interface FaultScreen {
  without(fault: Fault): number;
  asRead(rows: readonly number[]): number;
}

/**
 * Judges faults without fitting again: the tiles in question are taken out of the normal equations at
 * the optimum, and the others predict them as the fit has them and without the fault. For a linear model
 * the ratio is exactly that of the evidence.
 * Shape:   a fit, in which some readings may be said to say nothing; the readings as they are written;
 *          `widening` on every standard deviation -> ln(density without the fault / density in the fit)
 * Source:  [CookWeisberg1982] for taking out
 */
export function screenOf(
  fit: Fit,
  readings: readonly TileReading[],
  widening: number,
): FaultScreen {
  const cached = new Map<string, Seen>();
  const known = (key: string, make: () => Seen): Seen => {
    const found = cached.get(key) ?? make();
    cached.set(key, found);
    return found;
  };
  const inFit = (row: number) => known(`${row}`, () => seenTile(fit, fit.tiles[row]));
  /** With the noise as it is written. */
  const asWritten = (row: number) =>
    readings[row].spread === fit.tiles[row].tile.spread
      ? inFit(row)
      : known(`${row} as written`, () => seenRecipe(fit, row, readings[row]));
  const read = fit.tiles.map((own) => labOfObserved(own, own.tile.observed));
  const judged = (rows: readonly number[]) => {
    const byOthers = withoutRows(rows);
    const labs = rows.map((row) => read[row] as readonly number[]);
    const before = byOthers(rows.map(inFit), labs);
    const after = (targets: readonly Seen[], as = labs) => byOthers(targets, as) - before;
    return { labs, after };
  };
  return {
    asRead: (rows) => judged(rows).after(rows.map(asWritten)),
    without(fault) {
      const { rows } = fault;
      const { labs, after } = judged(rows);
      const [row] = rows;
      const changed = withoutFault(readings, fault);
      switch (fault.kind) {
        case 'swapped':
          return after(rows.map(asWritten), labs.toReversed());
        case 'reversed':
        case 'amounts':
        case 'other clay':
        case 'reading':
          return after([seenRecipe(fit, row, changed[row])]);
        default:
          return after(
            rows.map(asWritten),
            rows.map((each, i) => {
              const { colour } = changed[each];
              return colour.kind === 'lab' ? colour.lab : labs[i];
            }),
          );
      }
    },
  };

  /** Log density of some tiles by all tiles but these rows. */
  function withoutRows(rows: readonly number[]) {
    const old = rows.map(inFit);
    const n = 3 * rows.length;
    const y = old.flatMap(({ solved }) => solved);
    const rest = new Float64Array(n * n);
    const turned = new Float64Array(n);
    rows.forEach((row, i) => {
      const { weight } = fit.tiles[row];
      for (let a = 0; a < 3; a++) {
        turned[3 * i + a] = read[row][a] - old[i].predicted[a];
        for (let b = 0; b < 3; b++) {
          rest[(3 * i + a) * n + 3 * i + b] = old[i].noise[a * 3 + b] / weight;
        }
        rest[(3 * i + a) * (n + 1)] *= 1 + 1e-6;
      }
    });
    for (let a = 0; a < n; a++) {
      for (let b = 0; b < n; b++) rest[a * n + b] -= dotOfSolved(y[a], y[b]);
    }
    choleskyInPlace(rest, n);
    forward(rest, turned, n, 1);
    return (targets: readonly Seen[], labs: readonly (readonly number[])[]): number => {
      const m = 3 * targets.length;
      const t = targets.flatMap(({ solved }) => solved);
      // Covariance of rows and targets, divided by the root of `rest`.
      const cross = new Float64Array(n * m);
      for (let a = 0; a < n; a++) {
        for (let b = 0; b < m; b++) cross[a * m + b] = dotOfSolved(y[a], t[b]);
      }
      forward(rest, cross, n, m);
      const covariance = new Float64Array(m * m);
      const miss = new Float64Array(m);
      for (let a = 0; a < m; a++) {
        const [i, axis] = [Math.floor(a / 3), a % 3];
        miss[a] = labs[i][axis] - targets[i].predicted[axis];
        for (let k = 0; k < n; k++) miss[a] += cross[k * m + a] * turned[k];
        for (let b = 0; b < m; b++) {
          let sum = dotOfSolved(t[a], t[b]);
          for (let k = 0; k < n; k++) sum += cross[k * m + a] * cross[k * m + b];
          if (Math.floor(b / 3) === i) sum += targets[i].noise[axis * 3 + (b % 3)];
          covariance[a * m + b] = sum * widening ** 2;
        }
      }
      choleskyInPlace(covariance, m);
      forward(covariance, miss, m, 1);
      let size = 0;
      let distance = 0;
      for (let a = 0; a < m; a++) {
        size += Math.log(covariance[a * (m + 1)]);
        distance += miss[a] ** 2;
      }
      return -size - Math.min(distance, MOST_MISS * targets.length) / 2;
    };
  }
}

function seenTile(fit: Fit, own: FittedTile): Seen {
  const { tile, slopes, residual } = own;
  const d = slopes.predicted.length;
  const predicted = tile.observed.map((v, r) => v - residual[r]);
  const rows = labRows(tile, slopes.predicted);
  const solved = solvedRows(fit, slopes.blocks, d);
  const lab: Solved[] = [[], [], []];
  const noise = new Float64Array(9);
  for (let axis = 0; axis < 3; axis++) {
    for (let r = 0; r < d; r++) {
      const slope = rows[axis * d + r];
      if (slope !== 0) addSolved(lab[axis], scaled(solved[r], slope));
      for (let other = 0; other < 3; other++) {
        for (let c = 0; c < d; c++) {
          noise[axis * 3 + other] += slope * slopes.noise[r * d + c] * rows[other * d + c];
        }
      }
    }
  }
  return { solved: lab, predicted: labOfObserved(own, predicted), noise };
}

function scaled(solved: Solved, by: number): Solved {
  return solved.map((block) => block?.map((v) => v * by));
}

/** A tile as it would be seen with these parts and this spread. */
function seenRecipe(fit: Fit, row: number, { parts, spread }: TileReading): Seen {
  const { set } = fit;
  const own = fit.tiles[row];
  const named = parts.map(({ clay, share }) => ({ clay: set.clays.indexOf(clay), share }));
  const combination = set.combinations.get(combinationKey(named.map(({ clay }) => clay)));
  const ordered =
    combination === undefined
      ? [...named].sort((a, b) => b.share - a.share)
      : [combination.main, ...combination.others].map((p) => named.find(({ clay }) => clay === p)!);
  const tile: PreparedTile = {
    ...own.tile,
    spread,
    parts: ordered,
    effects: parts.length === own.tile.parts.length ? own.tile.effects : [],
    combinationBlock: combination?.block ?? -1,
  };
  const mix = mixSlopes(
    withEffectOffset(tile, fit.unknowns),
    fit.coefficients,
    set.classes,
    fit.physics,
    tile.surface,
    tile.film,
  );
  const slopes = tileSlopes(
    tile,
    mix,
    fit.prior,
    set.classes,
    set.clays.map((_, i) => isPinned(set, i)),
    { sharedBlock: set.sharedBlock, sharedSize: SHARED },
    0,
  );
  const d = slopes.predicted.length;
  if (combination === undefined && ordered.length > 1) {
    const baked = {
      clays: set.classes.map((clayClass) => ({ clayClass })),
      combinations: [...set.combinations.values()],
      combinationSpread: fit.combinationSpread,
    };
    for (let i = 1; i < ordered.length; i++) {
      const spread = newMixSpreadOf(baked, ordered[i].clay);
      addOuter(slopes.noise, slopes.amounts[i], spread, d);
    }
  }
  const residual = tile.observed.map((v, r) => v - slopes.predicted[r]);
  if (tile.photoBlock >= 0 && tile.observable.kind === 'lab') {
    for (let r = 0; r < 3; r++) residual[r] -= fit.unknowns[tile.photoBlock][r];
  }
  return seenTile(fit, { ...own, tile, slopes, residual });
}
