import { gcd, numberFromRational, type Rational, rational } from '../numeric/rational.ts';
import { type SpreadShare, spreadComposition } from './density-spread.ts';
import {
  type Basis,
  type MixGraph,
  type MixNode,
  orderMixes,
  type UnknownPart,
} from './mix-graph.ts';
import {
  compose,
  compositionOfBlock,
  lengthInBits,
  type WholeComposition,
  weightOf,
} from './whole-composition.ts';

/** Bounds that no real book nears; a nest of eight with counts of four digits has about 110 bits. */
export const RESOLVE_LIMITS = { bits: 4096 } as const;

/** A portion of a resolved mix; low and high are equal where it is exact. */
export interface ResolvedShare extends SpreadShare {
  readonly id: string;
  /** Absent where the portion hangs on densities. */
  readonly exact?: Rational;
}

export interface ResolvedMix {
  readonly status: 'resolved';
  readonly basis: Basis;
  /** Portions of the clay, summing to 1. */
  readonly blocks: readonly ResolvedShare[];
  /** Portions of the weight of everything. */
  readonly powders: readonly ResolvedShare[];
  /** The clay in smallest whole parts, in the order of `blocks`; absent where not exact. */
  readonly whole?: { readonly parts: readonly bigint[]; readonly total: bigint };
  /** Blocks whose density counted and is not measured. Empty where no density counts. */
  readonly assumedDensity: readonly string[];
  /** What must be said with the figures; empty where they are exact. */
  readonly says: string;
}

export type Resolution =
  | ResolvedMix
  | { readonly status: 'circle'; readonly circle: readonly string[]; readonly says: string }
  | {
      readonly status: 'unknown-clay';
      readonly unknown: readonly UnknownPart[];
      readonly says: string;
    }
  | { readonly status: 'too-deep'; readonly mix: string; readonly says: string };

/** Answers for many mixes of one graph; what they share is worked out once. */
export interface MixResolver {
  /** A mix of the graph by its id, or one that is in no graph by what it is made of. */
  resolve(of: string | MixNode, basis?: Basis): Resolution;
}

/** Stands for a mix without an id; no id holds a space. */
const WITHOUT_ID = 'mix without an id';

const THROUGH_DENSITY =
  'Volume and weight parts meet in this mix, so its portions depend on how dense the clays are.';

/**
 * Mixes of mixes down to the blocks, exactly.
 * Shape:   a graph of blocks and mixes -> answers by id of a mix, by its own basis or the one asked
 * Units:   shares 0-1
 * Refuses: circles, unknown clays, nests past RESOLVE_LIMITS as values; a mix without parts, counts
 *          and shares out of range -> invalid-input
 * Holds:   one basis throughout, or blocks of one density group, is exact; linear in the parts that
 *          are reached, times the blocks in them; each mix is worked out once
 */
export function mixResolver(graph: MixGraph): MixResolver {
  const composed = new Map<string, WholeComposition>();
  const mixes = new Map(graph.mixes);
  const known: MixGraph = { blocks: graph.blocks, mixes };
  const isLeaf = (id: string) => composed.has(id) || graph.blocks.has(id);
  const clayOf = (id: string) => composed.get(id) ?? compositionOfBlock(graph, id);

  return {
    resolve(of, basis) {
      if (typeof of === 'string') return resolve(of, basis);
      mixes.set(WITHOUT_ID, of);
      try {
        return resolve(WITHOUT_ID, basis);
      } finally {
        mixes.delete(WITHOUT_ID);
        composed.delete(WITHOUT_ID);
      }
    },
  };

  function resolve(id: string, basis: Basis | undefined): Resolution {
    const mix = mixes.get(id);
    const order = orderMixes(mixes, isLeaf, mix === undefined ? [] : [id]);
    if (mix === undefined) return unknownParts([{ mix: id, clay: id }]);
    if (order.status === 'circle') {
      const { circle } = order;
      const says =
        circle.length === 1
          ? 'This mix is made of itself.'
          : `These ${circle.length} mixes are made of one another in a circle.`;
      return { status: 'circle', circle, says };
    }
    if (order.status === 'unknown-clay') return unknownParts(order.unknown);
    for (const under of order.mixes) {
      const composition = compose(mixes.get(under)!, clayOf);
      if (lengthInBits(composition) > RESOLVE_LIMITS.bits) {
        return { status: 'too-deep', mix: under, says: 'Too many mixes are inside one another.' };
      }
      composed.set(under, composition);
    }
    return resolved(known, id, basis ?? mix.basis, composed.get(id)!);
  }
}

function unknownParts(unknown: readonly UnknownPart[]): Resolution {
  const says = 'Something in this mix is neither a block nor a mix of the book.';
  return { status: 'unknown-clay', unknown, says };
}

function resolved(
  graph: MixGraph,
  id: string,
  basis: Basis,
  composition: WholeComposition,
): ResolvedMix {
  const clayHangs = composition.densityMatters[basis];
  const powdersHang = composition.densityMattersToPowders;
  const spread = clayHangs || powdersHang ? spreadOf(graph, id, basis) : undefined;
  const weight = weightOf(composition);
  const shares = (
    amounts: ReadonlyMap<string, bigint>,
    of: bigint,
    uncertain: ReadonlyMap<string, SpreadShare> | undefined,
  ) =>
    [...amounts].map(([name, amount]): ResolvedShare => {
      const found = uncertain?.get(name);
      return found === undefined ? exactShare(name, rational(amount, of)) : { id: name, ...found };
    });
  const blocks = shares(
    composition.blocks,
    composition.clay,
    clayHangs ? spread?.blocks : undefined,
  );
  const powders = shares(composition.powders, weight, powdersHang ? spread?.powders : undefined);
  const unmeasured =
    spread === undefined
      ? []
      : [...composition.blocks.keys()].filter(
          (block) => graph.blocks.get(block)?.density === undefined,
        );
  return {
    status: 'resolved',
    basis,
    blocks,
    powders,
    ...(clayHangs ? {} : { whole: smallestWhole([...composition.blocks.values()]) }),
    assumedDensity: unmeasured,
    says: spread === undefined ? '' : THROUGH_DENSITY,
  };
}

function exactShare(id: string, exact: Rational): ResolvedShare {
  const share = numberFromRational(exact);
  return { id, share, low: share, high: share, exact };
}

function smallestWhole(amounts: readonly bigint[]): NonNullable<ResolvedMix['whole']> {
  const common = amounts.reduce(gcd);
  const parts = amounts.map((n) => n / common);
  return { parts, total: parts.reduce((sum, n) => sum + n, 0n) };
}

function spreadOf(graph: MixGraph, id: string, basis: Basis) {
  const order = orderMixes(graph.mixes, (leaf) => graph.blocks.has(leaf), [id]);
  return spreadComposition(graph, order.status === 'ordered' ? order.mixes : [], basis);
}
