import type { ClayClass } from '../clay/clay-class.ts';
import type { WholeParts } from '../mixes/whole-parts.ts';
import { together } from './together.ts';

/** What a clay is mixed with in a row of a chart. */
export const CHART_KINDS = ['alone', 'white', 'black', 'translucent', 'clay'] as const;
export type ChartKind = (typeof CHART_KINDS)[number];

/** A clay as a chart takes it. */
export interface ChartClay {
  /** Index into the model. */
  readonly clay: number;
  readonly clayClass: ClayClass;
  /** Clays of one line are mixed with each other; those without one count as a line. */
  readonly line?: string | undefined;
  /** Readings that hold it: of several whites the best known is taken. */
  readonly tiles: number;
}

/** One row: a clay and what it is mixed with, in the mixes to bake. */
export interface ChartRow {
  readonly kind: ChartKind;
  readonly clay: number;
  /** Absent where the clay is alone. */
  readonly other?: number;
  readonly cells: readonly WholeParts[];
}

type Ratio = readonly [number, number];
/** Pieces of the clay and of the other, from most of the clay on. */
const EQUAL_ROUND: readonly Ratio[] = [
  [3, 1],
  [1, 1],
  [1, 3],
];
/** A little black does what much of another clay does (common practice, no source). */
const TO_BLACK: readonly Ratio[] = [
  [7, 1],
  [3, 1],
  [1, 1],
];
const BASES = ['white', 'black', 'translucent'] as const;

/**
 * What belongs in the chart of some clays: each alone, with white, black and translucent, and every pair
 * within a line, in three ratios each.
 * Shape:   clays in the order of the chart -> rows, those of one clay after each other
 * Holds:   no pair twice; white, black and translucent are those of the clay's own line where it has one,
 *          else the best known of all
 */
export function chartOf(clays: readonly ChartClay[]): ChartRow[] {
  const done = new Set<string>();
  const row = (kind: ChartKind, clay: number, other: number, ratios: readonly Ratio[]) => {
    const key = [clay, other].sort((a, b) => a - b).join(' ');
    if (clay === other || done.has(key)) return [];
    done.add(key);
    const cells = ratios.map(([own, added]) => [
      { clay, parts: own },
      { clay: other, parts: added },
    ]);
    return [{ kind, clay, other, cells }];
  };
  // First of all clays, so that a white listed first does not take its mixes away from the others.
  const withBases = clays.map((one) =>
    BASES.flatMap((kind) => {
      const base = baseFor(one, kind, clays);
      if (base === undefined) return [];
      return row(kind, one.clay, base.clay, kind === 'black' ? TO_BLACK : EQUAL_ROUND);
    }),
  );
  return clays.flatMap((one, i) => [
    { kind: 'alone' as const, clay: one.clay, cells: [[{ clay: one.clay, parts: 1 }]] },
    ...withBases[i],
    ...clays
      .slice(i + 1)
      .filter(({ line }) => line === one.line)
      .flatMap((other) => row('clay', one.clay, other.clay, EQUAL_ROUND)),
  ]);
}

/** The white, black or translucent clay that a clay is mixed with. */
function baseFor(
  { line }: ChartClay,
  kind: ClayClass,
  clays: readonly ChartClay[],
): ChartClay | undefined {
  const known = clays
    .filter(({ clayClass }) => clayClass === kind)
    .sort((a, b) => b.tiles - a.tiles);
  return known.find((one) => one.line === line) ?? known[0];
}

/**
 * Every mix of one list with every mix of another, half and half, as two by two or three by three.
 * Shape:   mixes down and across -> a row each of `down`, with a cell each of `across`
 */
export function gridOf(
  down: readonly WholeParts[],
  across: readonly WholeParts[],
): (readonly WholeParts[])[] {
  return down.map((one) => across.map((other) => together(one, other, [1, 1])));
}
