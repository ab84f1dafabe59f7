/** A listed recipe: clays in the search's numbering, rising, with their parts. */
export interface ListedRecipe {
  readonly set: readonly number[];
  readonly counts: readonly number[];
  readonly total: number;
  readonly lab: readonly [number, number, number];
  readonly dE00: number;
}

/** Errors closer than this are equal, so that rounding does not decide which recipe comes first. */
const EQUAL = 1e-10;

/**
 * The best so far. By error, then by total parts, then by the order of the clays' names.
 * Holds:   a recipe is listed once, however often it is offered, in whatever order of its clays
 */
export class TopList {
  private readonly kept: ListedRecipe[] = [];

  private readonly size: number;
  private readonly rank: ArrayLike<number>;
  private readonly below: number;

  /**
   * `rank`: place of each clay in the order of names; `below`: recipes with larger errors are
   * ignored.
   */
  constructor(size: number, rank: ArrayLike<number>, below = Number.POSITIVE_INFINITY) {
    this.size = size;
    this.rank = rank;
    this.below = below;
  }

  /** A recipe with a larger error is not listed; `below` until the list is full. */
  get worst(): number {
    return this.kept.length < this.size ? this.below : this.kept[this.size - 1].dE00 + EQUAL;
  }

  /** True when the recipe was listed. */
  offer(
    set: ArrayLike<number>,
    counts: ArrayLike<number>,
    size: number,
    lab: ArrayLike<number>,
    dE00: number,
  ): boolean {
    if (dE00 > this.worst) return false;
    const order = Array.from({ length: size }, (_, i) => i).sort((a, b) => set[a] - set[b]);
    const entry: ListedRecipe = {
      set: order.map((i) => set[i]),
      counts: order.map((i) => counts[i]),
      total: order.reduce((sum, i) => sum + counts[i], 0),
      lab: [lab[0], lab[1], lab[2]],
      dE00,
    };
    let at = this.kept.length;
    while (at > 0 && this.compare(entry, this.kept[at - 1]) < 0) at--;
    for (let i = 0; i < this.kept.length; i++) if (same(this.kept[i], entry)) return false;
    if (at >= this.size) return false;
    this.kept.splice(at, 0, entry);
    if (this.kept.length > this.size) this.kept.pop();
    return true;
  }

  sorted(): readonly ListedRecipe[] {
    return this.kept;
  }

  private compare(a: ListedRecipe, b: ListedRecipe): number {
    const error = Math.round(a.dE00 / EQUAL) - Math.round(b.dE00 / EQUAL);
    if (error !== 0) return error;
    if (a.total !== b.total) return a.total - b.total;
    const names = (k: ListedRecipe) => k.set.map((i) => this.rank[i]).sort((x, y) => x - y);
    const [one, other] = [names(a), names(b)];
    for (let i = 0; i < Math.min(one.length, other.length); i++) {
      if (one[i] !== other[i]) return one[i] - other[i];
    }
    if (one.length !== other.length) return one.length - other.length;
    // The same clays in other parts: more of the first name comes first.
    const parts = (k: ListedRecipe) =>
      k.set
        .map((i, at) => ({ rank: this.rank[i], parts: k.counts[at] }))
        .sort((x, y) => x.rank - y.rank)
        .map(({ parts }) => parts);
    const [p, q] = [parts(a), parts(b)];
    const differs = p.findIndex((v, i) => v !== q[i]);
    return differs < 0 ? 0 : q[differs] - p[differs];
  }
}

function same(a: ListedRecipe, b: ListedRecipe): boolean {
  return (
    a.set.length === b.set.length &&
    a.set.every((v, i) => v === b.set[i]) &&
    a.counts.every((v, i) => v === b.counts[i])
  );
}
