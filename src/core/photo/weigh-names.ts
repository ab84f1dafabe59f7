import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { tailOfThree } from './control-drift.ts';

/** A colour with its ±. */
export interface UncertainColour {
  readonly lab: Lab;
  /** 3 x 3 by rows. */
  readonly covariance: ArrayLike<number>;
}

/** A tile as it was read, and the colour that its name stands for, where that is known. */
export interface TileWithName {
  readonly read: UncertainColour;
  readonly named?: UncertainColour;
}

/** How far a tile is from the colour of its name. */
export interface NameMiss {
  readonly dE00: number;
  /** How often the ± of both alone would bring a step so large, 0-1. */
  readonly chance: number;
  /** Neither chance nor the usual error of a prediction explains the step. */
  readonly isDoubtful: boolean;
}

/** Names that fit better in another order. */
export type BetterOrder =
  | {
      readonly kind: 'shift';
      /** Place of the first tile whose name moves. */
      readonly from: number;
      /** Each name moves to the next tile (1), or to the one before (-1). */
      readonly by: 1 | -1;
    }
  | { readonly kind: 'exchange'; readonly one: number; readonly other: number };

export interface NameCheck {
  /** One for each tile; undefined where a tile has no name, or its colour is not known. */
  readonly misses: readonly (NameMiss | undefined)[];
  /** The most likely order, where that is clearly more likely than the order as written. */
  readonly better?: BetterOrder;
}

/** A recipe is cut and a tile is pressed by hand: no prediction is surer than this, CIELAB units. */
const HAND = 1.5;
/** A step rarer than this, and larger than the next number, is asked about. */
const RARE = 1e-3;
const SMALL_STEP = 6;
/** Degrees of freedom: real misses have heavier tails than the normal law. */
const TAIL = 4;
/** Share of tiles that are anything at all: a wrong recipe, a stained tile. */
const ANYTHING = 0.02;
/** Density of a tile that may be any clay colour: one over the usual volume of L, a, b. */
const SOMEWHERE = 1 / (70 * 90 * 90);
/** How often a list has slipped, or has two names exchanged. A judgement, not a measurement. */
const SLIPPED = 0.05;
const EXCHANGED = 0.05;
/** How much likelier another order must be than the order as written. */
const CLEARLY = 10;

/**
 * Whether the names of a tray are beside the right tiles.
 * Shape:   tiles in the order of the tray -> a miss for each, and a better order where there is one
 * Method:  each name is weighed by Student's density of the step between the colour read and the colour of
 *          the name, with the ± of both. Every slip by one from any place to the end, and every exchange of
 *          two names, is weighed against the order as written
 * Holds:   only offered, never applied; tiles closer than their ± cannot be distinguished and change nothing
 * Source:  multivariate t density, [KotzNadarajah2004] ch. 1
 */
export function weighNames(tiles: readonly TileWithName[]): NameCheck {
  const names = tiles.map(({ named }) => named);
  const fits = tiles.map(({ read }) => names.map((name) => weightOf(read, name)));
  const better = slipOf(fits, names) ?? exchangeOf(fits, names);
  return {
    misses: tiles.map(missOf),
    ...(better === undefined ? {} : { better }),
  };
}

/** How a list reads once its names moved; empty where no name moved to, names past the end are left out. */
export function reordered<T>(names: readonly T[], better: BetterOrder, empty: T): T[] {
  const next = [...names];
  if (better.kind === 'exchange') {
    const { one, other } = better;
    [next[one], next[other]] = [names[other] ?? empty, names[one] ?? empty];
    return next;
  }
  const { from, by } = better;
  if (by === 1) next.splice(from, 0, empty);
  else next.splice(from - 1, 1);
  return Array.from({ length: names.length }, (_, i) => next[i] ?? empty);
}

function missOf({ read, named }: TileWithName): NameMiss | undefined {
  if (named === undefined) return undefined;
  const dE00 = deltaE2000(named.lab, read.lab);
  const chance = tailOfThree(stepOf(read, named).squared);
  return { dE00, chance, isDoubtful: chance < RARE && dE00 > SMALL_STEP };
}

/** Log of the density of a colour read, should a tile have this name; of any colour without one. */
function weightOf(read: UncertainColour, name: UncertainColour | undefined): number {
  if (name === undefined) return Math.log(SOMEWHERE);
  const { squared, determinant } = stepOf(read, name);
  // Gamma((v + 3) / 2) / (Gamma(v / 2) (v pi)^(3/2)), v = 4.
  const scale = 3.3233509704 / (TAIL * Math.PI) ** 1.5;
  const density = (scale / Math.sqrt(determinant)) * (1 + squared / TAIL) ** (-(TAIL + 3) / 2);
  return Math.log((1 - ANYTHING) * density + ANYTHING * SOMEWHERE);
}

/** The step between two colours in deviations, squared, and the determinant of its covariance. */
function stepOf(read: UncertainColour, name: UncertainColour) {
  const at = (r: number, c: number) =>
    (read.covariance[3 * r + c] ?? 0) +
    (name.covariance[3 * r + c] ?? 0) +
    (r === c ? HAND ** 2 : 0);
  const [a, b, c] = [at(0, 0), at(0, 1), at(0, 2)];
  const [d, e, f] = [at(1, 1), at(1, 2), at(2, 2)];
  const [A, B, C] = [d * f - e * e, c * e - b * f, b * e - c * d];
  const determinant = a * A + b * B + c * C;
  const x = read.lab[0] - name.lab[0];
  const y = read.lab[1] - name.lab[1];
  const z = read.lab[2] - name.lab[2];
  const D = a * f - c * c;
  const E = b * c - a * e;
  const F = a * d - b * b;
  const squared =
    (x * x * A + y * y * D + z * z * F + 2 * (x * y * B + x * z * C + y * z * E)) / determinant;
  return { squared, determinant };
}

type Names = readonly (UncertainColour | undefined)[];

function slipOf(fits: readonly (readonly number[])[], names: Names): BetterOrder | undefined {
  const n = names.length;
  const kinds = [1, -1].flatMap((by) =>
    Array.from({ length: n }, (_, i) => ({ kind: 'shift', from: i, by: by as 1 | -1 }) as const),
  );
  const usable = kinds.filter(({ from, by }) => from + by >= 0 && names[from] !== undefined);
  return likeliest(usable, SLIPPED, fits, names);
}

function exchangeOf(fits: readonly (readonly number[])[], names: Names): BetterOrder | undefined {
  const pairs = names.flatMap((_, one) =>
    names.flatMap((__, other) =>
      other > one && names[one] !== undefined && names[other] !== undefined
        ? [{ kind: 'exchange', one, other } as const]
        : [],
    ),
  );
  return likeliest(pairs, EXCHANGED, fits, names);
}

/** The likeliest of some orders, if all of them together are clearly likelier than the one as written. */
function likeliest(
  orders: readonly BetterOrder[],
  prior: number,
  fits: readonly (readonly number[])[],
  names: Names,
): BetterOrder | undefined {
  const places = names.map((name, i) => (name === undefined ? undefined : i));
  const written = total(places, fits);
  const each = Math.log(prior / (1 - prior) / Math.max(1, orders.length));
  let best: { readonly order: BetterOrder; readonly gain: number } | undefined;
  let all = 0;
  for (const order of orders) {
    const gain = total(reordered(places, order, undefined), fits) - written + each;
    all += Math.exp(Math.min(gain, 300));
    if (best === undefined || gain > best.gain) best = { order, gain };
  }
  return best !== undefined && all > CLEARLY && best.gain > 0 ? best.order : undefined;
}

/** Log of the density of all tiles with these names, by their places in the list as written. */
function total(
  places: readonly (number | undefined)[],
  fits: readonly (readonly number[])[],
): number {
  return places.reduce<number>(
    (sum, at, i) => sum + (at === undefined ? Math.log(SOMEWHERE) : (fits[i]?.[at] ?? 0)),
    0,
  );
}
