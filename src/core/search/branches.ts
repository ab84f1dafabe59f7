import { type ClayCurves, type ClayGroup, groupClays } from './clay-tree.ts';
import { choose } from './search-problem.ts';

/** Groups of clays, numbered. */
export interface ClayGroupTable {
  readonly groups: readonly ClayGroup[];
  /** Numbers of a group's two halves; below 0 where it has one clay. */
  readonly halves: readonly [Int32Array, Int32Array];
  readonly sizes: Int32Array;
}

/**
 * Sets of clays not yet examined, as bundles: a number of clays from each of some groups. A class,
 * since a search pushes and pops a hundred thousand of them.
 */
export class Branches {
  readonly table: ClayGroupTable;
  /** The current bundle: how many groups, then the number of each and how many clays from it. */
  readonly at: Int32Array;
  private readonly width: number;
  private stack: Int32Array;
  private length = 0;

  /**
   * Starts with bundles for every number of clays: required clays as single groups, the rest by
   * white and colour.
   */
  constructor(curves: ClayCurves, size: number, mostClays: number, must: readonly number[]) {
    const groups: ClayGroup[] = [];
    const halves: [number[], number[]] = [[], []];
    const numbered = (group: ClayGroup): number => {
      const own = groups.push(group) - 1;
      halves[0][own] = halves[1][own] = -1;
      group.halves?.forEach((half, side) => {
        halves[side][own] = numbered(half);
      });
      return own;
    };
    const musts = must.map((p) => numbered(groupClays(curves, [p])));
    const rest = Array.from({ length: size }, (_, p) => p).filter((p) => !must.includes(p));
    const whites = rest.filter((p) => curves.white[p] === 1);
    const colours = rest.filter((p) => curves.white[p] === 0);
    const white = whites.length > 0 ? numbered(groupClays(curves, whites)) : -1;
    const colour = colours.length > 0 ? numbered(groupClays(curves, colours)) : -1;
    this.table = {
      groups,
      halves: [Int32Array.from(halves[0]), Int32Array.from(halves[1])],
      sizes: Int32Array.from(groups, ({ members }) => members.length),
    };
    this.width = 1 + 2 * mostClays;
    this.at = new Int32Array(this.width);
    this.stack = new Int32Array(64 * this.width);
    for (let n = mostClays; n >= Math.max(1, musts.length); n--) {
      const free = n - musts.length;
      for (let w = 0; w <= Math.min(free, whites.length); w++) {
        if (free - w > colours.length) continue;
        const picks = musts.flatMap((group) => [group, 1]);
        if (w > 0) picks.push(white, w);
        if (free > w) picks.push(colour, free - w);
        if (picks.length > 0) this.put([picks.length / 2, ...picks]);
      }
    }
  }

  get empty(): boolean {
    return this.length === 0;
  }

  /** Takes the next bundle. */
  take(): void {
    const from = --this.length * this.width;
    for (let i = 0; i < this.width; i++) this.at[i] = this.stack[from + i];
  }

  /** Clays in each set of the current bundle. */
  get count(): number {
    let count = 0;
    for (let i = 0; i < this.at[0]; i++) count += this.at[2 + 2 * i];
    return count;
  }

  /** Sets of clays in the current bundle. */
  get sets(): number {
    let sets = 1;
    for (let i = 0; i < this.at[0]; i++) {
      sets *= choose(this.table.sizes[this.at[1 + 2 * i]], this.at[2 + 2 * i]);
    }
    return sets;
  }

  /** Place of the largest group that has halves; below 0 when the bundle is a single set. */
  get widest(): number {
    const { at } = this;
    const { sizes } = this.table;
    let widest = -1;
    let most = 1;
    for (let i = 0; i < at[0]; i++) {
      const size = sizes[at[1 + 2 * i]];
      if (size > most) [widest, most] = [i, size];
    }
    return widest;
  }

  /** Adds the bundles that the current one splits into when one of its groups is halved. */
  halve(place: number): void {
    const { at, width } = this;
    const { halves, sizes } = this.table;
    const group = at[1 + 2 * place];
    const times = at[2 + 2 * place];
    const one = halves[0][group];
    const other = halves[1][group];
    for (let first = 0; first <= times; first++) {
      const second = times - first;
      if (first > sizes[one] || second > sizes[other]) continue;
      const from = this.reserve();
      const { stack } = this;
      let to = from + 1;
      for (let i = 0; i < at[0]; i++) {
        if (i === place) continue;
        stack[to++] = at[1 + 2 * i];
        stack[to++] = at[2 + 2 * i];
      }
      if (first > 0) {
        stack[to++] = one;
        stack[to++] = first;
      }
      if (second > 0) {
        stack[to++] = other;
        stack[to++] = second;
      }
      stack[from] = (to - from) >> 1;
      stack.fill(0, to, from + width);
    }
  }

  private put(bundle: readonly number[]): void {
    const from = this.reserve();
    this.stack.set(bundle, from);
  }

  private reserve(): number {
    const from = this.length++ * this.width;
    if (from + this.width > this.stack.length) {
      const larger = new Int32Array(2 * this.stack.length);
      larger.set(this.stack);
      this.stack = larger;
    }
    return from;
  }
}
