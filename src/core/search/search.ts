import type { Predictor } from '../clay/predict.ts';
import { BANDS } from '../colour/grid.ts';
import { labInto } from '../colour/spaces.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { Branches } from './branches.ts';
import { type Apart, type Compositions, compositionsOf } from './composition-tree.ts';
import { firstGuesses } from './first-guesses.ts';
import { kernelBounds } from './kernel-bounds.ts';
import { PlainBounds } from './search-bounds.ts';
import { ALL_IDEAS, type SearchIdeas } from './search-ideas.ts';
import type { SearchHit, SearchOptions, SearchRun } from './search-options.ts';
import {
  countCompositions,
  countRecipes,
  type SearchProblem,
  searchProblem,
} from './search-problem.ts';

/** Local copy of the number of bands, for fast loops. */
const N = BANDS;

/** In a cell of at most this many recipes, each is tried. */
const FEW = 3;

/**
 * The best of all recipes, most of which are ruled out without being tried.
 *
 * Sets of clays are taken together while their curves are alike (`groupClays`), and of each set all
 * compositions together, then halves of them (`compositionsOf`). Of such a bundle K/S is in every
 * band between its values at the corners, since it is a ratio of sums that are linear in the parts;
 * so does the light sent back, which falls as K/S rises. Summed over the bands this gives the least
 * and the most of X, Y, Z and of any sum of them. If the range of a bundle along one direction
 * misses the range of the colours as close to the aim as the worst recipe listed, the bundle holds
 * nothing better and is dropped.
 *
 * Shape:   as `SearchOptions`, `ideas` for benchmarks only; `step(budget)` counts bundles and
 *          recipes examined
 * Refuses: as `searchProblem`
 * Holds:   when `step` has returned true no recipe within the rules is better than those returned;
 *          before that, they are the best examined so far. Argument and measurements: docs/adr/0014
 */
export function startSearch(
  predictor: Predictor,
  options: SearchOptions,
  ideas: SearchIdeas = ALL_IDEAS,
): SearchRun {
  const problem = searchProblem(predictor, options, ideas);
  const { size, mostClays, rules, departing } = problem;
  const { parts } = options;
  const total = countRecipes(size, mostClays, parts);
  const guesses = firstGuesses(problem);
  const branches = new Branches(problem.curves, size, mostClays, rules.must);
  const bounds =
    (ideas.kernel ? kernelBounds(problem, branches.table) : undefined) ??
    new PlainBounds(problem, branches.table);
  const compositions = new Map<number, Compositions>();
  const ways = Array.from({ length: mostClays + 1 }, (_, m) => countCompositions(m, parts));
  const sets = ways.map((_, m) => new Int32Array(m));
  let guessing = ideas.walks;
  let settled = 0;
  let work = 0;

  const strength = strengthsOf(problem);
  const apart = apartBySamples(problem, strength);
  let departingTried = 0;

  return {
    step(budget) {
      const until = work + budget;
      while (guessing && work < until) {
        work += 20;
        if (guesses.next().done === true) guessing = false;
      }
      // These come after the first guesses, which give a waiting user something to see.
      while (departingTried < departing.length && work < until) {
        work += tryAll(departing[departingTried++]);
      }
      while (work < until && !branches.empty) {
        branches.take();
        look();
      }
      return branches.empty && !guessing && departingTried === departing.length;
    },
    get tried() {
      return problem.tried;
    },
    total,
    get settled() {
      return Math.min(1, settled / total);
    },
    best: () => problem.found(),
  };

  function look(): void {
    work++;
    const { count, widest } = branches;
    bounds.refresh();
    if (widest < 0) {
      examineSet(count);
      settled += ways[count];
    } else if (!ideas.groups || bounds.mayHold(branches.at, count)) {
      branches.halve(widest);
    } else {
      settled += branches.sets * ways[count];
    }
  }

  function examineSet(count: number): void {
    const set = sets[count];
    const { groups } = branches.table;
    // Strongest first, as the cells of the compositions expect.
    for (let i = 0; i < count; i++) {
      const [clay] = groups[branches.at[1 + 2 * i]].members;
      let to = i;
      while (to > 0 && strength[set[to - 1]] < strength[clay]) {
        set[to] = set[to - 1];
        to--;
      }
      set[to] = clay;
    }
    if (problem.departs(set, count) || !rules.allowsSet(set, count)) return;
    work += bounds.descend(set, compositionsFor(count));
  }

  function compositionsFor(n: number): Compositions {
    let known = compositions.get(n);
    if (known === undefined) {
      known = compositionsOf(
        n,
        parts,
        ideas.cells ? FEW : Number.POSITIVE_INFINITY,
        apart,
        problem.power,
      );
      compositions.set(n, known);
    }
    return known;
  }

  /**
   * Few sets depart from simple addition, and the bounds do not hold for them, so all their recipes
   * are tried.
   */
  function tryAll(set: readonly number[]): number {
    if (set.length > Math.min(mostClays, parts) || !rules.allowsSet(set, set.length)) return 0;
    if (!rules.must.every((p) => set.includes(p))) return 0;
    const { counts, length } = compositionsFor(set.length);
    for (let r = 0; r < length; r++) {
      problem.judge(set, counts.subarray(r * set.length, (r + 1) * set.length), set.length);
    }
    return length;
  }
}

/** How much light each clay absorbs, over all bands. */
function strengthsOf({ curves, size }: SearchProblem): Float64Array {
  return Float64Array.from({ length: size }, (_, p) => {
    let sum = 0;
    for (let band = 0; band < N; band++) sum += Math.log(curves.k[p * N + band] + 1e-3);
    return sum;
  });
}

/** Distance in colour of two compositions, over some sample sets of clays. */
function apartBySamples({ curves, size, options }: SearchProblem, strength: Float64Array): Apart {
  const SAMPLES = 12;
  const random = seededChance(7);
  const { x, y, z, white } = options.weights;
  const known = new Map<string, Float64Array>();
  const samples = new Map<number, readonly (readonly number[])[]>();
  return (one, other) => {
    const [a, b] = [coloursOf(one), coloursOf(other)];
    let sum = 0;
    for (let i = 0; i < a.length; i += 3) {
      sum += Math.hypot(a[i] - b[i], a[i + 1] - b[i + 1], a[i + 2] - b[i + 2]);
    }
    return sum;
  };

  function coloursOf(shares: Float64Array): Float64Array {
    const key = shares.join(' ');
    let out = known.get(key);
    if (out !== undefined) return out;
    out = new Float64Array(3 * SAMPLES);
    const lab = new Float64Array(3);
    samplesOf(shares.length).forEach((set, at) => {
      const xyz = [0, 0, 0];
      for (let band = 0; band < N; band++) {
        let k = 0;
        let s = 0;
        for (let i = 0; i < set.length; i++) {
          k += shares[i] * curves.k[set[i] * N + band];
          s += shares[i] * curves.s[set[i] * N + band];
        }
        const body = s / (s + k + Math.sqrt(k * (k + 2 * s)));
        xyz[0] += x[band] * body;
        xyz[1] += y[band] * body;
        xyz[2] += z[band] * body;
      }
      labInto(lab, xyz[0], xyz[1], xyz[2], white);
      out!.set(lab, 3 * at);
    });
    known.set(key, out);
    return out;
  }

  function samplesOf(n: number): readonly (readonly number[])[] {
    let sets = samples.get(n);
    if (sets === undefined) {
      sets = Array.from({ length: SAMPLES }, () => {
        const set = new Set<number>();
        while (set.size < n) set.add(Math.floor(random.uniform() * size));
        return [...set].sort((p, q) => strength[q] - strength[p]);
      });
      samples.set(n, sets);
    }
    return sets;
  }
}

/** Parts of the closest recipe of a search that ended and has no rules, so that there is one. */
export function closestParts(run: SearchRun): SearchHit['parts'] {
  return run.best()[0].parts;
}
