import { BANDS } from '../colour/grid.ts';

/** Local copy of the number of bands, for fast loops. */
const N = BANDS;

/** Clays with similar curves, with the ranges of those curves. */
export interface ClayGroup {
  /** Members in the search's numbering: one, or those of both halves. */
  readonly members: readonly number[];
  readonly white: boolean;
  /** Whether a member departs from its body colour, as pearl does. */
  readonly special: boolean;
  /** Least and most K and S by band. */
  readonly leastK: Float64Array;
  readonly mostK: Float64Array;
  readonly leastS: Float64Array;
  readonly mostS: Float64Array;
  /** Whether a member is a concentrate. */
  readonly linear: boolean;
  /** Least and most amount in one part. */
  readonly leastAmount: number;
  readonly mostAmount: number;
  readonly halves?: readonly [ClayGroup, ClayGroup];
}

/** Curves of the clays of a search, end to end: K of clay p at band b is k[p * N + b]. */
export interface ClayCurves {
  readonly k: Float64Array;
  readonly s: Float64Array;
  readonly white: Uint8Array;
  readonly special: Uint8Array;
  /** 1 for a concentrate, whose parts count as they are and not to the power of the others. */
  readonly linear: Uint8Array;
  /** What a part of each clay holds. */
  readonly held: Float64Array;
  /** What a part of each clay counts for: what it holds, to its power. K and S have this in them. */
  readonly amount: Float64Array;
}

/**
 * Splits clays in two repeatedly, with similar ones together, so that one bound serves many clays.
 * Shape:   clays (all white, or none), one or more -> tree with one clay in each leaf
 * Holds:   the ranges of a group hold the curves of each member
 */
export function groupClays(curves: ClayCurves, members: readonly number[]): ClayGroup {
  if (members.length === 1) return ranged(curves, members);
  const features = members.map((p) => featuresOf(curves, p));
  let widest = 0;
  let width = -1;
  for (let f = 0; f < features[0].length; f++) {
    const values = features.map((row) => row[f]);
    const spread = Math.max(...values) - Math.min(...values);
    if (spread > width) [widest, width] = [f, spread];
  }
  const order = members
    .map((p, i) => ({ p, at: features[i][widest] }))
    .sort((a, b) => a.at - b.at || a.p - b.p)
    .map(({ p }) => p);
  const middle = order.length >> 1;
  return {
    ...ranged(curves, order),
    halves: [groupClays(curves, order.slice(0, middle)), groupClays(curves, order.slice(middle))],
  };
}

/** Logarithms of K over five stretches of the spectrum and of S over all. */
function featuresOf({ k, s }: ClayCurves, clay: number): number[] {
  const STRETCHES = 5;
  const out = new Array<number>(STRETCHES + 1).fill(0);
  for (let band = 0; band < N; band++) {
    const at = clay * N + band;
    const stretch = Math.min(STRETCHES - 1, Math.floor((band * STRETCHES) / N));
    out[stretch] += (Math.log(k[at] + 1e-4) * STRETCHES) / N;
    out[STRETCHES] += Math.log(s[at] + 1e-4) / N;
  }
  return out;
}

function ranged(curves: ClayCurves, members: readonly number[]): ClayGroup {
  const leastK = new Float64Array(N).fill(Number.POSITIVE_INFINITY);
  const leastS = leastK.slice();
  const mostK = new Float64Array(N);
  const mostS = new Float64Array(N);
  for (const p of members) {
    for (let band = 0; band < N; band++) {
      const k = curves.k[p * N + band];
      const s = curves.s[p * N + band];
      leastK[band] = Math.min(leastK[band], k);
      mostK[band] = Math.max(mostK[band], k);
      leastS[band] = Math.min(leastS[band], s);
      mostS[band] = Math.max(mostS[band], s);
    }
  }
  const amounts = members.map((p) => curves.amount[p]);
  return {
    members,
    white: curves.white[members[0]] === 1,
    special: members.some((p) => curves.special[p] === 1),
    linear: members.some((p) => curves.linear[p] === 1),
    leastK,
    mostK,
    leastS,
    mostS,
    leastAmount: Math.min(...amounts),
    mostAmount: Math.max(...amounts),
  };
}
