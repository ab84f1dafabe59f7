import type { LabBox } from '../colour/difference-bound.ts';
import { BANDS } from '../colour/grid.ts';
import { claySurface } from '../optics/surface.ts';
import {
  ballSupports,
  type Direction,
  directionFrom,
  directionsAt,
  type Supports,
} from './colour-ball.ts';
import type { CompositionCell, Compositions } from './composition-tree.ts';
import type { ParentGroup } from './parent-tree.ts';
import type { SeekView } from './seek-options.ts';
import type { SeekProblem } from './seek-problem.ts';

/** Bands, at hand for the loops. */
const N = BANDS;
/** The supports are worked out anew when the worst kept error fell to this share of theirs. */
const SHRUNK = 0.9;
/** Room for rounding, in the units of a direction (about CIELAB). */
const ROOM = 1e-6;

const NO_SHIFT: LabBox = [0, 0, 0, 0, 0, 0];

/** One light, and where the colours near enough to its aim lie along its directions. */
interface Ball {
  readonly view: SeekView;
  readonly directions: Direction[];
  /** Place of its first direction among all. */
  readonly from: number;
}

/** So many parents from one group. */
export interface Pick {
  readonly group: ParentGroup;
  readonly times: number;
}

/**
 * Tests of bundles of recipes against what is still good enough: no recipe of a bundle that fails
 * is nearer to the aim than the worst kept.
 *
 * A class, since a seek tests millions of bundles with the same arrays.
 */
export class SeekBounds {
  private readonly problem: SeekProblem;
  private readonly inner: number;
  private readonly through: number;
  private readonly gloss: number;
  private readonly balls: readonly Ball[];
  private radius = Number.POSITIVE_INFINITY;
  // Directions of all lights, one after the other: weights by band, their sizes, the gloss's part.
  private readonly lines: Float64Array;
  private readonly sizes: Float64Array;
  private readonly bases: Float64Array;
  /** Least and most along each direction, for sets without and with special clays. */
  private readonly supports: readonly [Supports, Supports];
  /** Directions in the order they are tried: what failed lately first. */
  private readonly order: Int32Array;
  private readonly special: boolean;
  private readonly shift: LabBox;
  // Body reflectance of the bundle at hand lies within `half` of `middle`, by band.
  private readonly middle = new Float64Array(N);
  private readonly half = new Float64Array(N);
  // The set at hand.
  private set: Int32Array = new Int32Array(0);
  private all!: Compositions;
  private mixed = false;
  private isSpecial = 0;
  private work = 0;
  // Corners of its cells, each worked out once: which set they are of, body reflectance, factor.
  private stamp = 0;
  private stamps = new Int32Array(0);
  private body = new Float64Array(0);
  private factor = new Float64Array(0);
  private readonly whiteK = new Float64Array(N);
  private readonly colourK = new Float64Array(N);
  private readonly scattering = new Float64Array(N);
  private readonly counts: Int32Array;

  constructor(problem: SeekProblem) {
    this.problem = problem;
    const { outer, inner, specularIncluded } = claySurface(problem.geometry);
    this.inner = inner;
    const through = (1 - outer) * (1 - inner);
    const gloss = specularIncluded ? outer : 0;
    this.through = through;
    this.gloss = gloss;
    const lines: number[] = [];
    const bases: number[] = [];
    this.balls = problem.views.map((view) => {
      const from = lines.length / N;
      // The last place is for the direction to the best found, which is known later.
      const directions = [...directionsAt(view.aim, view.weights.white), [0, 1, 0] as const];
      for (const direction of directions) {
        const { byBand, base } = lineOf(view, direction, through, gloss);
        lines.push(...byBand);
        bases.push(base);
      }
      return { view, directions, from };
    });
    this.lines = Float64Array.from(lines);
    this.sizes = this.lines.map(Math.abs);
    this.bases = Float64Array.from(bases);
    const everywhere = () => ({
      least: new Float64Array(bases.length).fill(Number.NEGATIVE_INFINITY),
      most: new Float64Array(bases.length).fill(Number.POSITIVE_INFINITY),
    });
    this.supports = [everywhere(), everywhere()];
    this.order = Int32Array.from(bases, (_, d) => d);
    this.special = problem.curves.special.some((v) => v === 1);
    this.shift = shiftOf(problem);
    this.counts = new Int32Array(problem.mostParents);
  }

  /** Takes note of what was found since. */
  refresh(): void {
    const { worst } = this.problem.kept;
    if (!(worst < this.radius * SHRUNK)) return;
    this.radius = worst;
    this.pointAtBest();
    for (const { view, directions, from } of this.balls) {
      const { aim, weights, factors } = view;
      const plain = ballSupports(aim, weights.white, directions, worst, NO_SHIFT, factors);
      const special = this.special
        ? ballSupports(aim, weights.white, directions, worst, this.shift, factors)
        : plain;
      [plain, special].forEach(({ least, most }, i) => {
        this.supports[i].least.set(least, from);
        this.supports[i].most.set(most, from);
      });
    }
  }

  /**
   * Turns the last direction of the first light from its aim to the best found: past the edge of
   * reach, this is where recipes are cut off.
   */
  private pointAtBest(): void {
    const [best] = this.problem.kept.sorted();
    if (best === undefined) return;
    const { view, directions, from } = this.balls[0];
    const direction = directionFrom(view.aim, best.lab, view.weights.white);
    const place = from + directions.length - 1;
    directions[directions.length - 1] = direction;
    const { byBand, base } = lineOf(view, direction, this.through, this.gloss);
    this.lines.set(byBand, place * N);
    this.sizes.set(byBand.map(Math.abs), place * N);
    this.bases[place] = base;
  }

  /** Whether bodies within `half` of `middle` leave room for a colour that is near enough. */
  private inReach(special: number): boolean {
    const { middle, half, lines, sizes, bases, order } = this;
    const { least, most } = this.supports[special];
    for (let n = 0; n < order.length; n++) {
      const d = order[n];
      const row = d * N;
      let at = bases[d];
      let reach = ROOM;
      for (let band = 0; band < N; band++) {
        at += lines[row + band] * middle[band];
        reach += sizes[row + band] * half[band];
      }
      if (at - reach > most[d] || at + reach < least[d]) {
        if (n > 0) {
          order[n] = order[n - 1];
          order[n - 1] = d;
        }
        return false;
      }
    }
    return true;
  }

  /** Whether any set of so many parents from these groups may hold a recipe near enough. */
  mayHold(picks: readonly Pick[], count: number): boolean {
    const { inner, middle, half } = this;
    const { dilution, options } = this.problem;
    const spare = options.parts - count;
    let whites = 0;
    let whiteLeast = Number.POSITIVE_INFINITY;
    let whiteMost = 0;
    let colourLeast = Number.POSITIVE_INFINITY;
    let colourMost = 0;
    let special = 0;
    for (const { group, times } of picks) {
      if (group.special) special = 1;
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
    const { length } = picks;
    for (let band = 0; band < N; band++) {
      let kLow = 0;
      let kHigh = 0;
      let sLow = 0;
      let sHigh = 0;
      for (let p = 0; p < length; p++) {
        const { group, times } = picks[p];
        kLow += times * group.leastK[band] * (group.white ? 1 : factorLeast);
        kHigh += times * group.mostK[band] * (group.white ? 1 : factorMost);
        sLow += times * group.leastS[band];
        sHigh += times * group.mostS[band];
      }
      let qLow = Number.POSITIVE_INFINITY;
      let qHigh = 0;
      for (let p = 0; p < length; p++) {
        const { group } = picks[p];
        const low =
          (kLow + spare * group.leastK[band] * (group.white ? 1 : factorLeast)) /
          (sHigh + spare * group.mostS[band]);
        const high =
          (kHigh + spare * group.mostK[band] * (group.white ? 1 : factorMost)) /
          (sLow + spare * group.leastS[band]);
        if (low < qLow) qLow = low;
        if (high > qHigh) qHigh = high;
      }
      const most = 1 / (1 + qLow + Math.sqrt(qLow * (qLow + 2)) - inner);
      const least = 1 / (1 + qHigh + Math.sqrt(qHigh * (qHigh + 2)) - inner);
      middle[band] = (most + least) / 2;
      half[band] = (most - least) / 2;
    }
    return this.inReach(special);
  }

  /** Tries what may be near enough of one set; gives the work it took. */
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

  private visit(cell: CompositionCell): void {
    this.work++;
    const { rules } = this.problem;
    const { set, all } = this;
    if (rules.onShares && !rules.allowsBetween(set, set.length, all.corners, cell.corners)) return;
    this.rangeOf(cell.corners);
    if (!this.inReach(this.isSpecial)) return;
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

  /** Body reflectance between the corners of a cell, into `middle` and `half`. */
  private rangeOf(places: Int32Array): void {
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
      // The commonest case by far.
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
      middle[band] = (low + high) / 2;
      half[band] = (high - low) / 2;
    }
  }

  /** Body reflectance at one corner of the set at hand. */
  private workOut(place: number): void {
    const { set, all, whiteK, colourK, scattering, mixed, inner, body } = this;
    const { k, s, white, amount } = this.problem.curves;
    const n = set.length;
    whiteK.fill(0);
    colourK.fill(0);
    scattering.fill(0);
    let colour = 0;
    let total = 0;
    for (let i = 0; i < n; i++) {
      const share = all.corners[place * n + i];
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

function lineOf(
  { weights }: SeekView,
  [cx, cy, cz]: Direction,
  through: number,
  gloss: number,
): { byBand: Float64Array; base: number } {
  const { x, y, z, white } = weights;
  return {
    byBand: x.map((w, band) => through * (cx * w + cy * y[band] + cz * z[band])),
    base: gloss * (cx * white[0] + cy * white[1] + cz * white[2]),
  };
}

/** What special clays can add to a colour, as a box around 0. */
function shiftOf({ departures, size }: SeekProblem): LabBox {
  const box = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < size; i++) {
    for (let axis = 0; axis < 3; axis++) {
      box[2 * axis] = Math.min(box[2 * axis], departures[3 * i + axis]);
      box[2 * axis + 1] = Math.max(box[2 * axis + 1], departures[3 * i + axis]);
    }
  }
  return box as unknown as LabBox;
}
