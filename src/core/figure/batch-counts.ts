/** How a batch is cut: whole pieces of each part of its recipe. */
export interface BatchCounts {
  /** In the order of the shares. */
  readonly counts: readonly number[];
  /** How far the counts are off the recipe, in the measure of `errorOf`. */
  readonly error: number;
}

export interface CountsAsked {
  /** Of volume, adding up to 1. */
  readonly shares: readonly number[];
  /** Pieces that the batch needs at least; need not be whole. */
  readonly needed: number;
  /** Pieces of the smallest batch that keeps to the recipe exactly, where there is one. */
  readonly exactTotal: number | undefined;
  /** How far some counts are off the recipe. */
  readonly errorOf: (counts: readonly number[]) => number;
  /** Errors up to this do not count. */
  readonly within: number;
  /** Place of the part of which one piece more moves the colour most, and the fewest pieces of it. */
  readonly strongest: number;
  readonly fewest: number;
}

/** A batch grows by at most this share, and at most so many pieces, to keep the fewest pieces of its strongest part. */
const MAY_GROW = { share: 0.3, pieces: 4 } as const;
/** Totals looked at beyond the need. */
const MOST_LOOKED_AT = 60;

/**
 * The fewest whole pieces that give enough clay and keep to the recipe.
 * Returns: counts with the fewest pieces of the strongest part where that costs little clay, else without
 * Holds:   at least one piece of each part; where nothing is within the error, the least error wins
 */
export function countsOf(asked: CountsAsked): BatchCounts {
  const { shares, needed, exactTotal, errorOf, within, strongest, fewest } = asked;
  const least = Math.max(shares.length, Math.ceil(needed - 1e-9));
  const exact =
    exactTotal === undefined ? least : Math.ceil(least / exactTotal - 1e-9) * exactTotal;
  const most = Math.min(Math.max(exact, grown(least)), least + MOST_LOOKED_AT);
  let best: BatchCounts | undefined;
  let plain: BatchCounts | undefined;
  for (let total = least; total <= most; total++) {
    const counts = wholeShares(shares, total);
    const error = total === exact && exactTotal !== undefined ? 0 : errorOf(counts);
    if (best === undefined || error < best.error) best = { counts, error };
    if (error > within) continue;
    plain ??= { counts, error };
    if (counts[strongest] >= fewest && total <= grown(totalOf(plain))) return { counts, error };
  }
  if (plain !== undefined) return plain;
  // Past the totals looked at the exact recipe may still be the best answer.
  if (exactTotal !== undefined && exact <= 2 * least) {
    return { counts: wholeShares(shares, exact), error: 0 };
  }
  return best ?? { counts: shares.map(() => 1), error: Number.POSITIVE_INFINITY };
}

function grown(total: number): number {
  return Math.max(Math.ceil(total * (1 + MAY_GROW.share)), total + MAY_GROW.pieces);
}

function totalOf({ counts }: BatchCounts): number {
  return counts.reduce((sum, count) => sum + count, 0);
}

/** Whole counts with a total, as close to the shares as they get, each at least 1. */
export function wholeShares(shares: readonly number[], total: number): readonly number[] {
  const counts = shares.map((share) => Math.max(1, Math.floor(share * total + 1e-9)));
  for (let left = total - counts.reduce((sum, n) => sum + n, 0); left !== 0; ) {
    const step = Math.sign(left);
    let at = -1;
    let most = Number.NEGATIVE_INFINITY;
    for (const [i, share] of shares.entries()) {
      if (step < 0 && counts[i] === 1) continue;
      const lacks = step * (share * total - counts[i]);
      if (lacks > most) [at, most] = [i, lacks];
    }
    if (at < 0) break;
    counts[at] += step;
    left -= step;
  }
  return counts;
}
