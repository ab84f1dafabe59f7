import { invalidInput } from '../errors.ts';
import { tridiagonalModes } from '../numeric/tridiagonal-modes.ts';
import type { Body } from './heat-series.ts';

/** One layer of a body, from the inside outwards. */
export interface HeatLayer {
  readonly thicknessM: number;
  readonly conductivityWPerMK: number;
  /** Density times specific heat. */
  readonly heatJPerM3K: number;
}

/** Cells of the thinnest layer and of all together: 0.05 K of a finer grid for a rise of 110 K. */
const LEAST_CELLS = 10;
const CELLS = 44;
const AREA_POWER: Readonly<Record<Body, number>> = { slab: 0, cylinder: 1, sphere: 2 };

export interface HeatModes {
  /** 1 over seconds, one for each mode. */
  readonly rates: Float64Array;
  /** What each mode adds to the watched place at the start; together 1. */
  readonly weights: Float64Array;
}

/**
 * How a body of layers warms where its outermost layer begins, its slowest place in the clay.
 * Shape:   layers from the middle outwards, W/m2K outside -> modes that decay
 * Refuses: no layer, a layer or a heat transfer that is not above 0 -> invalid-input
 * Method:  finite volumes, the heat through each face by resistances in a row; the modes of the equations
 *          make every moment exact for this grid
 * Source:  [Patankar1980] ch. 4
 */
export function heatModes(
  body: Body,
  layers: readonly HeatLayer[],
  transferWPerM2K: number,
): HeatModes {
  const all = layers.flatMap((l) => [l.thicknessM, l.conductivityWPerMK, l.heatJPerM3K]);
  if (layers.length === 0 || ![...all, transferWPerM2K].every((v) => v > 0 && v < 1e12)) {
    throw invalidInput('A layer of clay or core has a size or a property that is not above 0.');
  }
  const cells = layers.flatMap((layer, at) => {
    const share = layer.thicknessM / layers.reduce((sum, one) => sum + one.thicknessM, 0);
    const count = Math.max(LEAST_CELLS, Math.round(CELLS * share));
    return Array.from({ length: count }, () => ({
      size: layer.thicknessM / count,
      k: layer.conductivityWPerMK,
      heat: layer.heatJPerM3K,
      outermost: at === layers.length - 1,
    }));
  });
  const power = AREA_POWER[body];
  let radius = 0;
  const capacity: number[] = [];
  const outward: number[] = [];
  for (const [i, cell] of cells.entries()) {
    const outside = radius + cell.size;
    capacity.push((cell.heat * (outside ** (power + 1) - radius ** (power + 1))) / (power + 1));
    const next = cells[i + 1];
    const beyond = next === undefined ? 1 / transferWPerM2K : next.size / 2 / next.k;
    outward.push(outside ** power / (cell.size / 2 / cell.k + beyond));
    radius = outside;
  }
  const n = cells.length;
  const diagonal = capacity.map((c, i) => (outward[i] + (i > 0 ? outward[i - 1] : 0)) / c);
  const beside = capacity
    .slice(0, n - 1)
    .map((c, i) => -outward[i] / Math.sqrt(c * capacity[i + 1]));
  const start = capacity.map(Math.sqrt);
  const seen = new Array<number>(n).fill(0);
  const first = cells.findIndex(({ outermost }) => outermost);
  for (const [i, w] of watchedPlace(first, cells)) seen[i] = w / Math.sqrt(capacity[i]);
  const { values, products } = tridiagonalModes(diagonal, beside, [start, seen]);
  return { rates: values, weights: products[0].map((at, mode) => at * products[1][mode]) };
}

/** The inner face of the outermost layer from the cells on its two sides; the middle, of one layer. */
function watchedPlace(
  first: number,
  cells: readonly { readonly size: number; readonly k: number }[],
): readonly (readonly [number, number])[] {
  if (first === 0) {
    return [
      [0, 9 / 8],
      [1, -1 / 8],
    ];
  }
  const inner = cells[first - 1].k / cells[first - 1].size;
  const outer = cells[first].k / cells[first].size;
  return [
    [first - 1, inner / (inner + outer)],
    [first, outer / (inner + outer)],
  ];
}

/** Share of the rise still to come after some time. */
export function restOfModes({ rates, weights }: HeatModes, seconds: number): number {
  return rates.reduce((sum, rate, i) => sum + weights[i] * Math.exp(-rate * seconds), 0);
}

/** Seconds until only `rest` of the rise is still to come. */
export function secondsUntil(modes: HeatModes, rest: number): number {
  let [low, high] = [0, Math.log(1000 / rest) / Math.min(...modes.rates)];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (restOfModes(modes, middle) > rest) low = middle;
    else high = middle;
  }
  return high;
}
