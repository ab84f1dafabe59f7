import type { Fault } from '../core/clay/explain/fault.ts';
import type { NamedExplanation } from '../core/clay/explain/settle.ts';
import type { TileReading } from '../core/clay/tile-reading.ts';
import type { OpenExplanation } from '../core/find/known-clays.ts';
import { inARow } from '../core/in-a-row.ts';
import { formatRecipe } from '../core/notation/notation.ts';
import { itemAt } from '../core/numeric/pairs.ts';

/**
 * What would have to be so, after "if": "t4 and t9 were swapped". `readings` are those as written.
 * Readings that say nothing have their own words, see `faultsInWords`.
 */
function condition(fault: Fault, readings: readonly TileReading[]): string {
  const own = firstOf(fault, readings);
  switch (fault.kind) {
    case 'swapped':
      return `${own.tile} and ${itemAt(readings, fault.rows[1]).tile} were swapped`;
    case 'reversed':
      return `the recipe of ${own.tile} is the other way round, ${formatRecipe(fault.parts)}`;
    case 'amounts':
      return `${own.tile} is ${formatRecipe(fault.parts)}`;
    case 'other clay':
      return `${own.tile} has ${fault.instead} in it instead of ${fault.clay}`;
    case 'a and b exchanged':
      return `a and b of ${own.tile} were exchanged`;
    case 'sign lost': {
      const value = labOf(own)[fault.axis === 'a' ? 1 : 2];
      return `${fault.axis} of ${own.tile} is ${-value} and not ${value}`;
    }
    case 'scale': {
      const [l] = labOf(own);
      const tiles = fault.rows.length > 1 ? `${fault.rows.length} tiles` : own.tile;
      const first =
        fault.rows.length > 1 ? '' : `, ${Number((100 * l).toPrecision(6))} and not ${l}`;
      return `${fault.axes} of ${tiles} ${fault.axes === 'L' ? 'was' : 'were'} divided by 100${first}`;
    }
    case 'reading':
      return `the reading of ${own.tile} does not count`;
  }
}

/** Explanations of a set of readings with their words; none where no tile seems wrong. */
export function explanationsInWords(
  explanations: readonly NamedExplanation[],
  readings: readonly TileReading[],
  hashes: readonly string[],
): readonly OpenExplanation[] {
  return explanations.map(({ faults, probability, isWhole }) => ({
    sentence:
      faults.length === 0
        ? 'The readings are right as they are.'
        : faultsInWords(faults, readings, isWhole),
    probability,
    tiles: [
      ...new Set(faults.flatMap(({ rows }) => rows.map((row) => itemAt(readings, row).tile))),
    ],
    hashes: faults.flatMap(({ rows }) => rows.map((row) => itemAt(hashes, row))),
    faults,
  }));
}

/**
 * An explanation in words: what would have to be so, whether the tiles then agree, and what to do.
 * Shape: at least one fault; readings as written; whether no tile misses far any more
 */
export function faultsInWords(
  faults: readonly Fault[],
  readings: readonly TileReading[],
  isWhole: boolean,
): string {
  const tiles = new Set(readings.map(({ tile }) => tile)).size;
  const agree = isWhole ? `all ${tiles} tiles agree` : 'the other tiles agree better';
  const rows = new Set(faults.flatMap(({ rows }) => rows));
  const look = rows.size > 1 ? 'Look at them.' : 'Look at the tile.';
  if (faults.every(({ kind }) => kind === 'reading')) {
    const names = inARow([...new Set(faults.map((fault) => firstOf(fault, readings).tile))]);
    return faults.length > 1
      ? `The readings of ${names} do not fit. Without them, ${agree}. Read these tiles again.`
      : `The reading of ${names} does not fit. Without this reading, ${agree}. Read the tile again.`;
  }
  return `If ${inARow(faults.map((fault) => condition(fault, readings)))}, ${agree}. ${look}`;
}

function firstOf({ rows }: Fault, readings: readonly TileReading[]): TileReading {
  return itemAt(readings, itemAt<number>(rows, 0));
}

function labOf({ colour }: TileReading): readonly [number, number, number] {
  return colour.kind === 'lab' ? colour.lab : [0, 0, 0];
}
