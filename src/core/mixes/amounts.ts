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
