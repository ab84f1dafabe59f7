import { invalidInput } from '../errors.ts';
import type { Basis } from './mix-graph.ts';

/** A clay's parts in a recipe and how dense it is. */
export interface AmountPart {
  readonly clay: string;
  readonly parts: number;
  readonly densityGPerCm3: number;
}

/** How much of a mix is wanted: in all, or by the size of one part. */
export type BatchSize =
  | { readonly massG: number }
  | { readonly volumeCm3: number }
  | { readonly partG: number }
  | { readonly partCm3: number };

export interface BatchAmount {
  readonly clay: string;
  readonly massG: number;
  readonly volumeCm3: number;
}

export interface Batch {
  readonly amounts: readonly BatchAmount[];
  readonly massG: number;
  readonly volumeCm3: number;
}

/** What was paid for a package of clay. */
export interface PackagePrice {
  readonly packageG: number;
  /** Whole minor units of the currency. */
  readonly priceMinor: number;
}

/**
 * Grams and cm3 of every clay of a batch.
 * Shape:   parts by volume or weight, one size -> amounts in the same order, and their sums
 * Refuses: no parts; parts, densities or a size not finite and above 0; the size of a part in the
 *          unit of the other basis -> invalid-input
 * Holds:   mass = density x volume for every clay; volumes are taken to add up
 */
export function batchOf(parts: readonly AmountPart[], basis: Basis, size: BatchSize): Batch {
  if (parts.length === 0) throw invalidInput('A batch wants at least one clay.');
  const ofOnePart = parts.map(({ clay, parts: count, densityGPerCm3 }) => {
    checkAbove(count, 'parts');
    checkAbove(densityGPerCm3, 'g/cm3');
    return basis === 'weight'
      ? { clay, massG: count, volumeCm3: count / densityGPerCm3 }
      : { clay, massG: count * densityGPerCm3, volumeCm3: count };
  });
  const scale = scaleOf(sumOf(ofOnePart), basis, size);
  const amounts = ofOnePart.map(({ clay, massG, volumeCm3 }) => ({
    clay,
    massG: massG * scale,
    volumeCm3: volumeCm3 * scale,
  }));
  return { amounts, ...sumOf(amounts) };
}

function scaleOf(whole: Omit<Batch, 'amounts'>, basis: Basis, size: BatchSize): number {
  if ('massG' in size) return checkAbove(size.massG, 'g') / whole.massG;
  if ('volumeCm3' in size) return checkAbove(size.volumeCm3, 'cm3') / whole.volumeCm3;
  if ('partG' in size && basis === 'weight') return checkAbove(size.partG, 'g');
  if ('partCm3' in size && basis === 'volume') return checkAbove(size.partCm3, 'cm3');
  throw invalidInput('The parts of this recipe are of another basis than the size given for one.');
}

function sumOf(amounts: readonly Omit<BatchAmount, 'clay'>[]): Omit<Batch, 'amounts'> {
  return {
    massG: amounts.reduce((sum, { massG }) => sum + massG, 0),
    volumeCm3: amounts.reduce((sum, { volumeCm3 }) => sum + volumeCm3, 0),
  };
}

function checkAbove(value: number, unit: string): number {
  if (value > 0 && value < Number.POSITIVE_INFINITY) return value;
  throw invalidInput(`${value} ${unit} is no amount.`);
}

/** One piece cut from a sheet by a round or a square cutter, cm3; the size is diameter or side. */
export function cutterPieceCm3(
  cutter: 'round' | 'square',
  sizeMm: number,
  sheetThicknessMm: number,
): number {
  const face = checkAbove(sizeMm, 'mm') ** 2 * (cutter === 'round' ? Math.PI / 4 : 1);
  return (face * checkAbove(sheetThicknessMm, 'mm')) / 1000;
}

/** Diameter of the ball that a volume rolls into. */
export function ballDiameterMm(volumeCm3: number): number {
  return Math.cbrt((6000 * checkAbove(volumeCm3, 'cm3')) / Math.PI);
}

export interface RoundedParts {
  /** Whole parts, summing to the number asked. */
  readonly parts: readonly number[];
  /** Part less share, 0-1 of the whole, in the same order. */
  readonly errors: readonly number[];
  /** Largest of them without its sign. */
  readonly worst: number;
}

/**
 * Shares as so many whole parts, so that the worst of them is off by as little as can be.
 * Shape:   n shares, any positive scale -> n counts
 * Refuses: no shares, a share not finite or below 0, all 0, a total that is not a whole
 *          number above 0 and within 1e6 -> invalid-input
 * Holds:   worst <= (1 - 1/n) / total, which for two clays is 0.5 / total
 * Source:  largest remainders (common practice, no source); the bound follows from remainders that
 *          sum to a whole number
 */
export function roundedParts(shares: readonly number[], total: number): RoundedParts {
  const sum = shares.reduce((all, share) => all + share, 0);
  const sound = shares.every((share) => share >= 0 && share < Number.POSITIVE_INFINITY) && sum > 0;
  if (!sound || !Number.isSafeInteger(total) || total < 1 || total > 1e6) {
    throw invalidInput('Shares to be counted in parts are none, or the number of parts is.');
  }
  const exact = shares.map((share) => (share / sum) * total);
  const parts = exact.map(Math.floor);
  const left = total - parts.reduce((all, n) => all + n, 0);
  const byRemainder = exact
    .map((value, i) => ({ i, remainder: value - parts[i] }))
    .sort((one, other) => other.remainder - one.remainder || one.i - other.i);
  for (const { i } of byRemainder.slice(0, left)) parts[i]++;
  const errors = parts.map((n, i) => (n - exact[i]) / total);
  return { parts, errors, worst: Math.max(...errors.map(Math.abs)) };
}

/** Minor units a gram, not rounded. */
export function priceMinorPerG({ packageG, priceMinor }: PackagePrice): number {
  if (!Number.isSafeInteger(priceMinor) || priceMinor < 0) {
    throw invalidInput('A price is a whole number of minor units, 0 or more.');
  }
  return priceMinor / checkAbove(packageG, 'g');
}

export interface BatchCost {
  /** Of the clays whose price is known, rounded once to whole minor units. */
  readonly costMinor: number;
  /** Clays without a price: the cost is at least what is said. */
  readonly unpriced: readonly string[];
}

/**
 * What the clay of a batch costs, all in one currency.
 * Refuses: what `priceMinorPerG` refuses -> invalid-input
 */
export function costOf(
  amounts: readonly Pick<BatchAmount, 'clay' | 'massG'>[],
  prices: ReadonlyMap<string, PackagePrice>,
): BatchCost {
  let cost = 0;
  const unpriced: string[] = [];
  for (const { clay, massG } of amounts) {
    const price = prices.get(clay);
    if (price === undefined) unpriced.push(clay);
    else cost += priceMinorPerG(price) * massG;
  }
  return { costMinor: Math.round(cost), unpriced };
}
