import { SAYS_NOTHING, type TileReading } from '../tile-reading.ts';

/**
 * What may be wrong with the readings of one or two tiles. `rows` are places in the list of readings;
 * `parts` is the recipe that the tile may really have.
 */
export type Fault =
  | { readonly kind: 'swapped'; readonly rows: readonly [number, number] }
  | { readonly kind: 'reversed'; readonly rows: readonly [number]; readonly parts: Parts }
  | { readonly kind: 'amounts'; readonly rows: readonly [number]; readonly parts: Parts }
  | {
      readonly kind: 'other clay';
      readonly rows: readonly [number];
      /** Clay as written, and the clay it may really be. */
      readonly clay: string;
      readonly instead: string;
      readonly parts: Parts;
    }
  | { readonly kind: 'a and b exchanged'; readonly rows: readonly [number] }
  | { readonly kind: 'sign lost'; readonly rows: readonly [number]; readonly axis: 'a' | 'b' }
  | { readonly kind: 'scale'; readonly rows: readonly number[]; readonly axes: 'L' | 'L, a and b' }
  | { readonly kind: 'reading'; readonly rows: readonly [number] };

export type TileFaultKind = Fault['kind'];
type Parts = readonly { readonly clay: string; readonly parts: number }[];

/** The readings as they would be without a fault. Holds: their order and number stay. */
export function withoutFault(readings: readonly TileReading[], fault: Fault): TileReading[] {
  const out = [...readings];
  const [first] = fault.rows;
  const one = readings[first];
  switch (fault.kind) {
    case 'swapped': {
      const [a, b] = fault.rows;
      out[a] = { ...readings[b], ...recipeOf(readings[a]) };
      out[b] = { ...readings[a], ...recipeOf(readings[b]) };
      return out;
    }
    case 'reversed':
    case 'amounts':
    case 'other clay':
      out[first] = { ...one, parts: sharesOf(fault.parts) };
      return out;
    case 'a and b exchanged':
      out[first] = withLab(one, ([l, a, b]) => [l, b, a]);
      return out;
    case 'sign lost': {
      const { axis } = fault;
      out[first] = withLab(one, ([l, a, b]) => (axis === 'a' ? [l, -a, b] : [l, a, -b]));
      return out;
    }
    case 'scale': {
      const others = fault.axes === 'L' ? 1 : 100;
      for (const row of fault.rows) {
        out[row] = withLab(readings[row], ([l, a, b]) => [100 * l, others * a, others * b]);
      }
      return out;
    }
    case 'reading':
      out[first] = { ...one, spread: Math.max(one.spread, SAYS_NOTHING) };
      return out;
  }
}

/** What belongs to the tile itself and stays with it when readings are exchanged. */
function recipeOf({ tile, parts, partsSpread, film, effect }: TileReading) {
  return {
    tile,
    parts,
    partsSpread,
    ...(film === undefined ? {} : { film }),
    ...(effect === undefined ? {} : { effect }),
  };
}

function sharesOf(parts: Parts): TileReading['parts'] {
  const total = parts.reduce((sum, part) => sum + part.parts, 0);
  return parts.map(({ clay, parts: count }) => ({ clay, share: count / total }));
}

type Triple = readonly [number, number, number];

function withLab(reading: TileReading, change: (lab: Triple) => Triple): TileReading {
  const { colour } = reading;
  if (colour.kind !== 'lab') return reading;
  return { ...reading, colour: { ...colour, lab: change(colour.lab) } };
}

/** Largest count that shares are read as. */
const MOST_PARTS = 200;

/** The smallest whole parts that have these shares; undefined where there are none. */
export function smallestWholeParts(parts: TileReading['parts']): readonly number[] | undefined {
  const least = Math.min(...parts.map(({ share }) => share));
  for (let unit = 1; unit <= 12; unit++) {
    const counts = parts.map(({ share }) => (unit * share) / least);
    if (counts.some((n) => n > MOST_PARTS)) return undefined;
    const whole = counts.map(Math.round);
    if (counts.every((n, i) => Math.abs(n - whole[i]) < 1e-3 * n)) return whole;
  }
  return undefined;
}
