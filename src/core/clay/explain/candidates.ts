import type { TileReading } from '../tile-reading.ts';
import { type Fault, smallestWholeParts, type TileFaultKind } from './fault.ts';

/**
 * How many books in a hundred hold a fault of each kind, before the tiles are looked at; judgement, no
 * source. A kind is shared out over everything it could be in this book.
 */
const BOOKS_IN_100: Readonly<Record<TileFaultKind, number>> = {
  swapped: 3,
  reversed: 2,
  amounts: 1,
  'other clay': 2,
  'a and b exchanged': 1,
  'sign lost': 2,
  scale: 0.5,
  reading: 3,
};

/** A possible fault with the logarithm of its chance before the tiles are looked at. */
export interface Candidate {
  readonly fault: Fault;
  readonly lnPrior: number;
}

/** Colours closer than this are too alike to notice an exchange, CIELAB units. */
const UNLIKE = 2;
/** A lightness up to this may be on a scale of 0 to 1. */
const UNIT_LIGHTNESS = 1.3;

/**
 * Everything that may be wrong with these rows, rows that were checked left out.
 * Shape:   readings with their colours as L, a, b; places of the suspicious ones -> candidates
 */
export function candidatesOf(
  readings: readonly TileReading[],
  labs: readonly (readonly number[])[],
  suspicious: readonly number[],
): Candidate[] {
  const open = suspicious.filter((row) => readings[row].checked !== true);
  const uses = new Map<string, number>();
  for (const { clay } of readings.flatMap(({ parts }) => parts)) {
    uses.set(clay, (uses.get(clay) ?? 0) + 1);
  }
  const faults = [
    ...swaps(readings, labs, open),
    ...open.flatMap((row) => [
      ...ofRecipe(readings[row], row, uses),
      ...ofColour(readings[row], row),
      { kind: 'reading' as const, rows: [row] as const },
    ]),
    ...scaleOfAll(readings),
  ];
  const counts = new Map<TileFaultKind, number>();
  for (const { kind } of faults) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  // Faults of rows that were not suspicious were as likely before the tiles were looked at.
  const all = readings.length / Math.max(1, open.length);
  return faults.map((fault) => {
    const several =
      fault.kind === 'swapped' ? readings.length ** 2 / 2 : all * counts.get(fault.kind)!;
    return { fault, lnPrior: Math.log(BOOKS_IN_100[fault.kind] / 100 / several) };
  });
}

function swaps(
  readings: readonly TileReading[],
  labs: readonly (readonly number[])[],
  open: readonly number[],
): Fault[] {
  const isOpen = new Set(open);
  return open.flatMap((a) =>
    readings.flatMap((other, b): Fault[] => {
      if (b === a || (isOpen.has(b) && b < a) || other.checked === true) return [];
      const apart = Math.hypot(...labs[a].map((v, k) => v - labs[b][k]));
      return apart < UNLIKE ? [] : [{ kind: 'swapped', rows: a < b ? [a, b] : [b, a] }];
    }),
  );
}

function ofRecipe({ parts }: TileReading, row: number, uses: ReadonlyMap<string, number>): Fault[] {
  const rows = [row] as const;
  const used = new Set(parts.map(({ clay }) => clay));
  const counts = smallestWholeParts(parts);
  const recipe = (amounts: readonly number[]) =>
    parts.map(({ clay }, i) => ({ clay, parts: amounts[i] }));
  const written = recipe(counts ?? parts.map(({ share }) => share));
  // A clay stays in the model, so its only tile is not given to another.
  const replaced = parts.filter(({ clay }) => uses.get(clay)! > 1);
  const others = replaced.flatMap(({ clay }) =>
    [...uses.keys()].flatMap((instead): Fault[] => {
      if (used.has(instead)) return [];
      const really = written.map((part) =>
        part.clay === clay ? { ...part, clay: instead } : part,
      );
      return [{ kind: 'other clay', rows, clay, instead, parts: really }];
    }),
  );
  if (parts.length < 2 || counts === undefined) return others;
  const reversed = counts.toReversed();
  const isOther = reversed.some((n, i) => n !== counts[i]);
  const slips: (readonly number[])[] = [];
  counts.forEach((count, i) => {
    for (const n of slipsOf(count)) {
      const amounts = counts.with(i, n);
      if (![reversed, ...slips].some((other) => sameShares(amounts, other))) slips.push(amounts);
    }
  });
  return [
    ...(isOther ? [{ kind: 'reversed' as const, rows, parts: recipe(reversed) }] : []),
    ...slips.map((amounts): Fault => ({ kind: 'amounts', rows, parts: recipe(amounts) })),
    ...others,
  ];
}

/** What a count may have been meant to be: one more or less, a digit lost, doubled or exchanged. */
function slipsOf(count: number): number[] {
  const turned = Number([...String(count)].reverse().join(''));
  const all = [count + 1, count - 1, count * 10, count / 10, Number(`1${count}`), turned];
  return [...new Set(all)].filter((n) => n >= 1 && n !== count && Number.isInteger(n));
}

function sameShares(one: readonly number[], other: readonly number[]): boolean {
  return one.every((n, i) => Math.abs(n * other[0] - other[i] * one[0]) < 1e-9);
}

function ofColour({ colour }: TileReading, row: number): Fault[] {
  if (colour.kind !== 'lab') return [];
  const [l, a, b] = colour.lab;
  const rows = [row] as const;
  const faults: Fault[] = [];
  if (Math.abs(a - b) > UNLIKE) faults.push({ kind: 'a and b exchanged', rows });
  if (Math.abs(a) > UNLIKE) faults.push({ kind: 'sign lost', rows, axis: 'a' });
  if (Math.abs(b) > UNLIKE) faults.push({ kind: 'sign lost', rows, axis: 'b' });
  if (isUnit(l)) {
    faults.push({ kind: 'scale', rows, axes: 'L' });
    if (isUnit(Math.abs(a)) && isUnit(Math.abs(b))) {
      faults.push({ kind: 'scale', rows, axes: 'L, a and b' });
    }
  }
  return faults;
}

/** One file may have all its colours on a scale of 0 to 1. */
function scaleOfAll(readings: readonly TileReading[]): Fault[] {
  const rows = readings.flatMap(({ colour, checked }, row) =>
    checked !== true && colour.kind === 'lab' && isUnit(colour.lab[0]) ? [row] : [],
  );
  if (rows.length < 2) return [];
  const small = rows.every((row) => {
    const { colour } = readings[row];
    return colour.kind === 'lab' && colour.lab.every((v) => isUnit(Math.abs(v)));
  });
  return [{ kind: 'scale', rows, axes: small ? 'L, a and b' : 'L' }];
}

function isUnit(value: number): boolean {
  return value >= 0 && value <= UNIT_LIGHTNESS;
}
