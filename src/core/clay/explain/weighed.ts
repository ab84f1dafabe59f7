import { fitClays } from '../fit.ts';
import type { Fit } from '../fit-result.ts';
import { type LeftOutTile, leftOutTiles, missFactorOf, usualMissFactorOf } from '../left-out.ts';
import type { TileReading } from '../tile-reading.ts';
import { type Fault, withoutFault } from './fault.ts';
import { MOST_MISS } from './screen.ts';

/** Readings without some faults, fitted and weighed. */
export interface Weighed {
  readonly faults: readonly Fault[];
  readonly readings: readonly TileReading[];
  readonly fit: Fit;
  readonly leftOut: readonly LeftOutTile[];
  /** On every standard deviation, by the misses of these readings. */
  readonly widening: number;
  /** ln of chance and density. */
  readonly ln: number;
  readonly lnPrior: number;
}

/** Accuracy that is enough for comparing. */
const ROUGH = { tolerance: 0.3, maxIterations: 12 };

/** Readings with their fit, as an explanation with these faults. */
export function weighedFit(
  faults: readonly Fault[],
  lnPrior: number,
  readings: readonly TileReading[],
  fit: Fit,
  leftOut: readonly LeftOutTile[] = leftOutTiles(fit),
): Weighed {
  const widening = missFactorOf(leftOut);
  const ln = densityOf(leftOut, widening) + lnPrior;
  return { faults, readings, fit, leftOut, widening, ln, lnPrior };
}

/** The same without some more faults, fitted again. */
export function withoutMore(base: Weighed, faults: readonly Fault[], lnPrior: number): Weighed {
  const readings = faults.reduce<readonly TileReading[]>(withoutFault, base.readings);
  const { prior, settings } = base.fit;
  const fit = fitClays(readings, prior, { ...settings, ...ROUGH }, base.fit);
  return weighedFit([...base.faults, ...faults], base.lnPrior + lnPrior, readings, fit);
}

/** Rows that some faults concern. */
export function rowsOfFaults(faults: readonly Fault[]): ReadonlySet<number> {
  return new Set(faults.flatMap(({ rows }) => rows));
}

/** Squared miss, three degrees, that a tile of clean readings hardly ever reaches. */
function gateOf(tiles: number): number {
  return 15 + 2 * Math.log(tiles);
}

/**
 * Whether a tile misses so far that something may be wrong with a tile, in widths of the better half of
 * all misses: wrong tiles widen the others.
 */
export function isSuspicious(leftOut: readonly LeftOutTile[]): boolean {
  const worst = Math.max(...leftOut.map(({ standardised }) => standardised));
  return (3 * worst) / usualMissFactorOf(leftOut) ** 2 > gateOf(leftOut.length);
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
