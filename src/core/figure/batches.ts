import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { orderMixes, type UnknownPart } from '../mixes/mix-graph.ts';
import { commonDivisor } from '../numeric/common-divisor.ts';
import { countsOf } from './batch-counts.ts';
import {
  type ColourContents,
  claysOfParts,
  contentsOf,
  type FigureColour,
} from './colour-contents.ts';

export interface BatchesAsked {
  /** By name. A part that no colour is called by is a clay. */
  readonly colours: ReadonlyMap<string, FigureColour>;
  readonly isClay: (name: string) => boolean;
  /** cm3 of each colour that the parts of the figure need, with waste and spare. */
  readonly needs: ReadonlyMap<string, number>;
  readonly densityOf: (clay: string) => number;
  /** Of the pieces that are cut; each batch has pieces of its own size when absent. */
  readonly pieceCm3?: number;
  /** Colour of clays by share of their volume, where all of them are known. */
  readonly colourOf: (volumes: ReadonlyMap<string, number>) => Lab | undefined;
  /** Fewest pieces of the strongest part. */
  readonly fewest: number;
}

export interface BatchPart {
  readonly of: string;
  readonly pieces: number;
}

/** Clay that is mixed in one go. */
export interface MixingBatch {
  /** The colour; a pre-mix is called by the colour that it is for. */
  readonly colour: string;
  readonly kind: 'colour' | 'pre-mix';
  readonly parts: readonly BatchPart[];
  readonly pieceCm3: number;
  readonly neededCm3: number;
  readonly madeCm3: number;
  readonly massG: number;
  /** cm3 of each clay in it. */
  readonly clays: ReadonlyMap<string, number>;
  /** As its recipe has it, and as the whole pieces give it. */
  readonly wanted?: Lab;
  readonly made?: Lab;
  /** Between the two, dE00. */
  readonly roundingDE00?: number;
  /** The part of which one piece more moves the colour most. */
  readonly strongest: string;
}

/** A rounding that moves the colour by less cannot be seen, dE00: half of what is called the same. */
const UNSEEN_DE00 = 0.4;
/** Where no colour is known: a share may be off by this. */
const UNSEEN_SHARE = 0.01;
/** Parts of the base to one of the strongest clay in a pre-mix, the usual one first. Common practice, no source. */
const PRE_MIX_BASE = [9, 4] as const;
/** Recipes whose smallest whole parts are more than this have no exact batch. */
const MOST_EXACT = 400;
/** Smallest piece that can be cut well, cm3: a 3 mm cutter in a sheet of 2.5 mm. Common practice, no source. */
export const SMALLEST_PIECE_CM3 = 0.018;

export type BatchesFound =
  | { readonly status: 'planned'; readonly batches: readonly MixingBatch[] }
  | { readonly status: 'circle'; readonly circle: readonly string[] }
  | { readonly status: 'unknown-clay'; readonly unknown: readonly UnknownPart[] };

/**
 * One batch for each colour, mixes that go into other mixes first.
 * Units:   cm3, g
 * Holds:   each batch gives at least what its parts and the batches made from it need; counts are whole pieces
 *          of one size. Where the strongest part would be fewer than `fewest` pieces, it is pre-mixed with the
 *          largest other part, if there is one
 */
export function planBatches(asked: BatchesAsked): BatchesFound {
  const { colours, isClay, needs } = asked;
  const leaf = (name: string) => isClay(name) && !colours.has(name);
  const order = orderMixes(colours, leaf, needs.keys());
  if (order.status !== 'ordered') return order;
  const contents = contentsOf(colours, asked.densityOf);
  const wanted = new Map(needs);
  const cut = new Map<string, readonly Cut[]>();
  // Parents first: what they take of a mix is known before that mix is planned.
  for (const name of order.mixes.toReversed()) {
    const cuts = cutOf(name, wanted.get(name) ?? 0, asked, contents);
    cut.set(name, cuts);
    for (const { parts, pieceCm3 } of cuts) {
      for (const { of, pieces } of parts) {
        if (!colours.has(of)) continue;
        wanted.set(of, (wanted.get(of) ?? 0) + pieces * pieceCm3);
      }
    }
  }
  const made = new Map<string, ReadonlyMap<string, number>>();
  const batches = order.mixes.flatMap((name) =>
    (cut.get(name) ?? []).map((one) => batchFrom(one, name, asked, contents, made)),
  );
  return { status: 'planned', batches };
}

/** Whole pieces of a batch; the pre-mix of a colour is named `PRE_MIX` among its parts. */
interface Cut {
  readonly kind: MixingBatch['kind'];
  readonly parts: readonly BatchPart[];
  readonly pieceCm3: number;
  readonly neededCm3: number;
  readonly strongest: string;
}

/** Stands for the pre-mix of a colour among the parts of its batch; no name begins with a blank. */
export const PRE_MIX = ' pre-mix';

function cutOf(
  name: string,
  neededCm3: number,
  asked: BatchesAsked,
  contents: ColourContents,
): readonly Cut[] {
  const { fewest } = asked;
  const recipe = recipeByVolume(name, asked, contents);
  const { of, shares } = recipe;
  const strongest = strongestOf(recipe, asked, contents);
  const cutFrom = (counts: readonly number[], pieceCm3: number): Cut => ({
    kind: 'colour',
    parts: of.map((part, i) => ({ of: part, pieces: counts[i] })),
    pieceCm3,
    neededCm3,
    strongest: of[strongest],
  });
  if (asked.pieceCm3 === undefined) {
    const whole = recipe.whole ?? shares.map((share) => Math.max(1, Math.round(share * 20)));
    const total = whole.reduce((sum, n) => sum + n, 0);
    const times = Math.min(
      Math.ceil(fewest / whole[strongest]),
      Math.max(1, Math.floor(neededCm3 / SMALLEST_PIECE_CM3 / total)),
    );
    return [
      cutFrom(
        whole.map((n) => n * times),
        neededCm3 / (total * times),
      ),
    ];
  }
  const piece = asked.pieceCm3;
  const needed = neededCm3 / piece;
  const { counts } = countsOf({
    shares,
    needed,
    exactTotal: recipe.whole?.reduce((sum, n) => sum + n, 0),
    errorOf: errorOf(recipe, asked, contents),
    within: recipe.colour === undefined ? UNSEEN_SHARE : UNSEEN_DE00,
    strongest,
    fewest,
  });
  if (of.length === 1 || counts[strongest] >= fewest) return [cutFrom(counts, piece)];
  return preMixed(recipe, counts, strongest, asked, neededCm3) ?? [cutFrom(counts, piece)];
}

/** The same batch with its strongest part pre-mixed in the largest other one; undefined where that gives nothing. */
function preMixed(
  { of, shares }: ByVolume,
  counts: readonly number[],
  strongest: number,
  { fewest, pieceCm3: piece = 0 }: BatchesAsked,
  neededCm3: number,
): readonly Cut[] | undefined {
  const total = counts.reduce((sum, n) => sum + n, 0);
  const base = shares.reduce(
    (best, share, i) => (i !== strongest && (best < 0 || share > shares[best]) ? i : best),
    -1,
  );
  for (const baseParts of PRE_MIX_BASE) {
    const pieces = Math.round(shares[strongest] * total * (1 + baseParts));
    const inBase = (pieces * baseParts) / (1 + baseParts);
    const left = Math.round(shares[base] * total - inBase);
    if (pieces < fewest || left < 0) continue;
    const others = of.flatMap((part, i) =>
      i === strongest || (i === base && left === 0)
        ? []
        : [{ of: part, pieces: i === base ? left : counts[i] }],
    );
    const needs = pieces * piece;
    // As much strong clay as can be cut well; what is left of the pre-mix is for the next batch.
    const strong = Math.max(1, Math.ceil(pieces / (1 + baseParts)));
    return [
      {
        kind: 'pre-mix',
        parts: [
          { of: of[base], pieces: strong * baseParts },
          { of: of[strongest], pieces: strong },
        ],
        pieceCm3: piece,
        neededCm3: needs,
        strongest: of[strongest],
      },
      {
        kind: 'colour',
        parts: [{ of: PRE_MIX, pieces }, ...others],
        pieceCm3: piece,
        neededCm3,
        strongest: PRE_MIX,
      },
    ];
  }
  return undefined;
}

interface ByVolume {
  readonly of: readonly string[];
  /** Of volume, adding up to 1. */
  readonly shares: readonly number[];
  /** The smallest whole parts, where parts count volume and are whole. */
  readonly whole: readonly number[] | undefined;
  readonly colour: Lab | undefined;
}

function recipeByVolume(
  name: string,
  { colours, colourOf }: BatchesAsked,
  contents: ColourContents,
): ByVolume {
  const volumes = contents.volumesOf(name);
  const of = [...volumes.keys()];
  const parts = [...volumes.values()];
  const total = parts.reduce((sum, v) => sum + v, 0);
  const isWhole = colours.get(name)?.basis === 'volume' && parts.every((v) => Number.isInteger(v));
  const common = isWhole ? parts.reduce((all, v) => commonDivisor(all, v), 0) : 0;
  const whole =
    common > 0 && total / common <= MOST_EXACT ? parts.map((v) => v / common) : undefined;
  const colour = colourOf(contents.claysIn(name));
  return { of, shares: parts.map((v) => v / total), whole, colour };
}

/** Difference of the rounded colour from that of the recipe; where none is known, of the shares. */
function errorOf({ of, shares, colour }: ByVolume, asked: BatchesAsked, contents: ColourContents) {
  return (counts: readonly number[]): number => {
    const made = colour === undefined ? undefined : asked.colourOf(claysOf(of, counts, contents));
    if (colour !== undefined && made !== undefined) return deltaE2000(colour, made);
    const total = counts.reduce((sum, n) => sum + n, 0);
    return Math.max(...shares.map((share, i) => Math.abs(share - counts[i] / total)));
  };
}

/** The part of which a little more moves the colour most; the smallest where no colour is known. */
function strongestOf(recipe: ByVolume, asked: BatchesAsked, contents: ColourContents): number {
  const { of, shares, colour } = recipe;
  let strongest = shares.indexOf(Math.min(...shares));
  if (colour === undefined) return strongest;
  let most = 0;
  for (const i of of.keys()) {
    const made = asked.colourOf(claysOf(of, shares.with(i, shares[i] + A_LITTLE), contents));
    if (made === undefined) return strongest;
    const moves = deltaE2000(colour, made);
    if (moves > most) [strongest, most] = [i, moves];
  }
  return strongest;
}

const A_LITTLE = 0.05;

function claysOf(
  of: readonly string[],
  volumes: readonly number[],
  { claysIn }: ColourContents,
): ReadonlyMap<string, number> {
  return claysOfParts(new Map(of.map((part, i) => [part, volumes[i]])), claysIn);
}

/** What comes out of the pieces; `done` holds what came out of the batches before. */
function batchFrom(
  { kind, parts, pieceCm3, neededCm3, strongest }: Cut,
  colour: string,
  asked: BatchesAsked,
  { claysIn }: ColourContents,
  done: Map<string, ReadonlyMap<string, number>>,
): MixingBatch {
  const key = (of: string) => (of === PRE_MIX ? `${PRE_MIX} ${colour}` : of);
  const shares = claysOfParts(
    new Map(parts.map(({ of, pieces }) => [of, pieces])),
    (of) => done.get(key(of)) ?? new Map([[of, 1]]),
  );
  done.set(kind === 'pre-mix' ? key(PRE_MIX) : colour, shares);
  const madeCm3 = parts.reduce((sum, { pieces }) => sum + pieces * pieceCm3, 0);
  const clays = new Map([...shares].map(([clay, share]) => [clay, share * madeCm3]));
  const massG = [...clays].reduce((sum, [clay, cm3]) => sum + cm3 * asked.densityOf(clay), 0);
  const wanted = kind === 'pre-mix' ? undefined : asked.colourOf(claysIn(colour));
  const made = asked.colourOf(shares);
  return {
    colour,
    kind,
    parts,
    pieceCm3,
    neededCm3,
    madeCm3,
    massG,
    clays,
    ...(wanted === undefined ? {} : { wanted }),
    ...(made === undefined ? {} : { made }),
    ...(wanted === undefined || made === undefined
      ? {}
      : { roundingDE00: deltaE2000(wanted, made) }),
    strongest,
  };
}
