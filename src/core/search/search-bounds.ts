import { BANDS } from '../colour/grid.ts';
import type { ClayGroupTable } from './branches.ts';
import type { ClayGroup } from './clay-tree.ts';
import type { CompositionCell, Compositions } from './composition-tree.ts';
import type { SearchProblem } from './search-problem.ts';
import { SupportBounds } from './support-bounds.ts';

/** Local copy of the number of bands, for fast loops. */
const N = BANDS;
/** Margin for rounding, in the units of a direction (about CIELAB). */
const ROOM = 1e-6;

/**
 * Tests of bundles of recipes against what is still good enough: no recipe of a bundle that fails
 * is closer to the aim than the worst one listed.
 */
export interface SearchBounds {
  /** Takes the recipes found since into account. */
  refresh(): void;
  /**
   * Whether any set of a bundle, as `Branches` describes it, may hold a recipe that is close
   * enough. `count`: clays in each of its sets.
   */
  mayHold(bundle: Int32Array, count: number): boolean;
  /** Tries the recipes of one set that may be close enough; returns the work it took. */
  descend(set: Int32Array, all: Compositions): number;
}

/**
 * The tests in 64 bit: the reference for the others, and the fallback where those cannot run. A
 * class, since a search tests millions of bundles with the same arrays.
 */
export class PlainBounds implements SearchBounds {
  private readonly problem: SearchProblem;
  private readonly table: ClayGroupTable;
  private readonly sight: SupportBounds;
  /** Directions in the order they are tried: the ones that failed most recently come first. */
  private readonly order: Int32Array;
  // Body reflectance of the current bundle is within `half` of `middle`, by band.
  private readonly middle = new Float64Array(N);
  private readonly half = new Float64Array(N);
  // The current set.
  private set: Int32Array = new Int32Array(0);
  private all!: Compositions;
  private mixed = false;
  private isSpecial = 0;
  /** A concentrate among others, whose parts count by the whole. */
  private linear = false;
  /** Least over most that a part of the set holds, as it counts for the parts of a concentrate. */
  private even = 1;
  private work = 0;
  // Corners of its cells, each worked out once: the set they belong to, body reflectance, factor.
  private stamp = 0;
  private stamps = new Int32Array(0);
  private body = new Float64Array(0);
  private factor = new Float64Array(0);
  private readonly whiteK = new Float64Array(N);
  private readonly colourK = new Float64Array(N);
  private readonly scattering = new Float64Array(N);
  private readonly counts: Int32Array;

  constructor(problem: SearchProblem, table: ClayGroupTable) {
    this.problem = problem;
    this.table = table;
    this.sight = new SupportBounds(problem);
    this.order = Int32Array.from({ length: this.sight.count }, (_, d) => d);
    this.counts = new Int32Array(problem.mostClays);
  }

  refresh(): void {
    this.sight.refresh();
  }

  /** Whether bodies within `half` of `middle` may have a colour that is close enough. */
  private mayBeClose(special: number): boolean {
    const { middle, half, order, sight } = this;
    const { lines, sizes } = sight;
    const { least, most } = sight.ranges[special];
    for (let n = 0; n < order.length; n++) {
      const d = order[n];
      const row = d * N;
      let at = 0;
      let found = ROOM;
      for (let band = 0; band < N; band++) {
        at += lines[row + band] * middle[band];
        found += sizes[row + band] * half[band];
      }
      if (at - found > most[d] || at + found < least[d]) {
        if (n > 0) {
          order[n] = order[n - 1];
          order[n - 1] = d;
        }
        return false;
      }
    }
    return true;
  }

  mayHold(bundle: Int32Array, count: number): boolean {
    const { groups } = this.table;
    const { middle, half } = this;
    const { inner } = this.sight;
    const { spare, factorLeast, factorMost, special, room } = mixOf(
      bundle,
      count,
      groups,
      this.problem,
    );
    const length = bundle[0];
    for (let band = 0; band < N; band++) {
      let kLow = 0;
      let kHigh = 0;
      let sLow = 0;
      let sHigh = 0;
      for (let p = 0; p < length; p++) {
        const group = groups[bundle[1 + 2 * p]];
        const times = bundle[2 + 2 * p];
        kLow += times * group.leastK[band] * (group.white ? 1 : factorLeast);
        kHigh += times * group.mostK[band] * (group.white ? 1 : factorMost);
        sLow += times * group.leastS[band];
        sHigh += times * group.mostS[band];
      }
      let qLow = Number.POSITIVE_INFINITY;
      let qHigh = 0;
      for (let p = 0; p < length; p++) {
        const group = groups[bundle[1 + 2 * p]];
        const low =
          (kLow + spare * group.leastK[band] * (group.white ? 1 : factorLeast)) /
          (sHigh + spare * group.mostS[band]);
        const high =
          (kHigh + spare * group.mostK[band] * (group.white ? 1 : factorMost)) /
          (sLow + spare * group.leastS[band]);
        if (low < qLow) qLow = low;
        if (high > qHigh) qHigh = high;
      }
      qLow /= room;
      qHigh *= room;
      const most = 1 / (1 + qLow + Math.sqrt(qLow * (qLow + 2)) - inner);
      const least = 1 / (1 + qHigh + Math.sqrt(qHigh * (qHigh + 2)) - inner);
      middle[band] = (most + least) / 2;
      half[band] = (most - least) / 2;
    }
    return this.mayBeClose(special);
  }

  descend(set: Int32Array, all: Compositions): number {
    const { white, special } = this.problem.curves;
    const n = set.length;
    this.set = set;
    this.all = all;
    let whites = 0;
    this.isSpecial = 0;
    for (let i = 0; i < n; i++) {
      whites += white[set[i]];
      if (special[set[i]] === 1) this.isSpecial = 1;
    }
    this.mixed = whites > 0 && whites < n;
    this.takeLinear(set);
    this.work = 0;
    this.stamp++;
    const places = all.corners.length / n;
    if (places > this.stamps.length) {
      this.stamps = new Int32Array(places);
      this.body = new Float64Array(places * N);
      this.factor = new Float64Array(places);
    }
    this.visit(all.root);
    return this.work;
  }

  private takeLinear(set: Int32Array): void {
    const { power, curves } = this.problem;
    let least = Number.POSITIVE_INFINITY;
    let most = 0;
    this.linear = false;
    for (let i = 0; i < set.length; i++) {
      if (curves.linear[set[i]] === 1) this.linear = true;
      least = Math.min(least, curves.held[set[i]]);
      most = Math.max(most, curves.held[set[i]]);
    }
    this.linear &&= power !== 1;
    this.even = this.linear ? (least / most) ** Math.abs(power - 1) : 1;
  }

  private visit(cell: CompositionCell): void {
    this.work++;
    const { rules } = this.problem;
    const { set, all } = this;
    if (rules.onShares && !rules.allowsBetween(set, set.length, all.corners, cell.corners)) return;
    this.rangeOf(cell.corners, this.slackOf(cell.slack));
    if (!this.mayBeClose(this.isSpecial)) return;
    const { halves } = cell;
    if (halves.length > 0) {
      for (let h = 0; h < halves.length; h++) this.visit(halves[h]);
      return;
    }
    const { recipes } = cell;
    const n = set.length;
    const { counts } = this;
    for (let r = 0; r < recipes.length; r++) {
      const at = recipes[r] * n;
      for (let i = 0; i < n; i++) counts[i] = all.counts[at + i];
      this.problem.judge(set, counts, n);
    }
    this.work += recipes.length;
    this.refresh();
  }

  /** What a cell's slack in amounts is in body reflectance, factor of dilution included. */
  private slackOf(slack: number): number {
    const { power, dilution } = this.problem;
    if (power === 1) return 1;
    const { even } = this;
    return (Math.min(slack, even) * even) ** (1 + Math.abs(dilution));
  }

  /** Body reflectance between the corners of a cell, into `middle` and `half`. */
  private rangeOf(places: Int32Array, slack: number): void {
    const { stamps, stamp, mixed, middle, half } = this;
    const n = places.length;
    for (let c = 0; c < n; c++) {
      const place = places[c];
      if (stamps[place] !== stamp) {
        stamps[place] = stamp;
        this.workOut(place);
      }
    }
    const { body, factor } = this;
    if (!mixed && n === 4) {
      // By far the most common case.
      const a = places[0] * N;
      const b = places[1] * N;
      const c = places[2] * N;
      const d = places[3] * N;
      for (let band = 0; band < N; band++) {
        const va = body[a + band];
        const vb = body[b + band];
        const vc = body[c + band];
        const vd = body[d + band];
        const ab = va < vb;
        const low1 = ab ? va : vb;
        const high1 = ab ? vb : va;
        const cd = vc < vd;
        const low2 = cd ? vc : vd;
        const high2 = cd ? vd : vc;
        let low = low1;
        if (low2 < low) low = low2;
        let high = high1;
        if (high2 > high) high = high2;
        low *= slack;
        high /= slack;
        middle[band] = (low + high) / 2;
        half[band] = (high - low) / 2;
      }
      return;
    }
    let from = 1;
    let to = 1;
    if (mixed) {
      from = Number.POSITIVE_INFINITY;
      to = 0;
      for (let c = 0; c < n; c++) {
        const own = factor[places[c]];
        if (own < from) from = own;
        if (own > to) to = own;
      }
    }
    for (let band = 0; band < N; band++) {
      let low = Number.POSITIVE_INFINITY;
      let high = 0;
      for (let c = 0; c < n; c++) {
        const own = body[places[c] * N + band];
        // K of the colours counts with a factor that varies inside the cell; body reflectance moves
        // by no more than K does.
        const down = mixed ? (own * factor[places[c]]) / to : own;
        const up = mixed ? (own * factor[places[c]]) / from : own;
        if (down < low) low = down;
        if (up > high) high = up;
      }
      low *= slack;
      high /= slack;
      middle[band] = (low + high) / 2;
      half[band] = (high - low) / 2;
    }
  }

  /** Body reflectance at one corner of the current set. */
  private workOut(place: number): void {
    const { set, all, whiteK, colourK, scattering, mixed, body } = this;
    const { inner } = this.sight;
    const { k, s, white, amount, linear, held } = this.problem.curves;
    const { power } = this.problem;
    const n = set.length;
    let whole = 1;
    if (this.linear) {
      whole = 0;
      for (let i = 0; i < n; i++) whole += all.corners[place * n + i] * held[set[i]];
    }
    whiteK.fill(0);
    colourK.fill(0);
    scattering.fill(0);
    let colour = 0;
    let total = 0;
    for (let i = 0; i < n; i++) {
      const share =
        linear[set[i]] === 1
          ? all.corners[place * n + i] * whole ** (power - 1)
          : all.amounts[place * n + i];
      const from = set[i] * N;
      const target = white[set[i]] === 1 ? whiteK : colourK;
      for (let band = 0; band < N; band++) {
        target[band] += share * k[from + band];
        scattering[band] += share * s[from + band];
      }
      total += share * amount[set[i]];
      if (white[set[i]] === 0) colour += share * amount[set[i]];
    }
    const factor = mixed ? (colour / total) ** this.problem.dilution : 1;
    this.factor[place] = factor;
    const at = place * N;
    for (let band = 0; band < N; band++) {
      const sum = scattering[band];
      const absorbed = whiteK[band] + factor * colourK[band];
      body[at + band] =
        sum / (absorbed + sum + Math.sqrt(absorbed * (absorbed + 2 * sum)) - inner * sum);
    }
  }
}

/** What all sets in a bundle of groups share, apart from single bands. */
export interface PickMix {
  /** Parts left over after one for each clay. */
  readonly spare: number;
  /** Range of the factor of dilution. */
  readonly factorLeast: number;
  readonly factorMost: number;
  /** 1 when a special clay may be in it. */
  readonly special: number;
  /** Factor by which K/S may lie outside all this, for concentrates whose parts count by the whole. */
  readonly room: number;
}

/** Bounds that hold for every set of clays in a bundle and all their parts. */
export function mixOf(
  bundle: Int32Array,
  count: number,
  groups: readonly ClayGroup[],
  { dilution, options, power, curves }: SearchProblem,
): PickMix {
  const left = options.parts - count;
  // All spare parts on one clay count most where parts count more than in proportion.
  const spare = power > 1 ? (1 + left) ** power - 1 : left;
  let linear = false;
  let whites = 0;
  let whiteLeast = Number.POSITIVE_INFINITY;
  let whiteMost = 0;
  let colourLeast = Number.POSITIVE_INFINITY;
  let colourMost = 0;
  let special = 0;
  for (let p = 0; p < bundle[0]; p++) {
    const group = groups[bundle[1 + 2 * p]];
    const times = bundle[2 + 2 * p];
    if (group.special) special = 1;
    if (group.linear) linear = true;
    if (group.white) {
      whites += times;
      whiteLeast = Math.min(whiteLeast, group.leastAmount);
      whiteMost = Math.max(whiteMost, group.mostAmount);
    } else {
      colourLeast = Math.min(colourLeast, group.leastAmount);
      colourMost = Math.max(colourMost, group.mostAmount);
    }
  }
  const colours = count - whites;
  let factorLeast = 1;
  let factorMost = 1;
  if (whites > 0 && colours > 0) {
    const few = colours * colourLeast;
    const many = (colours + spare) * colourMost;
    const one = (few / (few + (whites + spare) * whiteMost)) ** dilution;
    const two = (many / (many + whites * whiteLeast)) ** dilution;
    factorLeast = Math.min(one, two);
    factorMost = Math.max(one, two);
  }
  return { spare, factorLeast, factorMost, special, room: linear ? roomOf() : 1 };

  /** How far a concentrate's parts may count more or less, in the whole of as many parts as there may be. */
  function roomOf(): number {
    if (power === 1) return 1;
    const least = count * Math.min(...curves.held);
    const most = options.parts * Math.max(...curves.held);
    const factors = [least, most].map((whole) => whole ** (power - 1));
    return Math.max(...factors, ...factors.map((v) => 1 / v));
  }
}
