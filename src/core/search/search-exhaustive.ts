import type { Predictor } from '../clay/predict.ts';
import { BANDS } from '../colour/grid.ts';
import { commonDivisor } from '../numeric/common-divisor.ts';
import type { SearchOptions, SearchRun } from './search-options.ts';
import { countRecipes, type SearchProblem, searchProblem } from './search-problem.ts';

/** Local copy of the number of bands, for fast loops. */
const N = BANDS;

/**
 * The plain search: works out every recipe of whole parts once. It uses no bounds, so it can check
 * `startSearch`, at a hundred times the time. Shape, Refuses, Holds: as `startSearch`;
 * `step(budget)` counts recipes
 */
export function startExhaustiveSearch(predictor: Predictor, options: SearchOptions): SearchRun {
  const problem = searchProblem(predictor, options);
  const { mostClays } = problem;
  const total = countRecipes(problem.size, mostClays, options.parts);
  const raised = Float64Array.from({ length: options.parts + 1 }, (_, n) => n ** problem.power);
  const walk = everySet(problem);
  const sums = Array.from({ length: mostClays + 1 }, () => ({
    white: new Float64Array(N),
    colour: new Float64Array(N),
    scattering: new Float64Array(N),
  }));
  let seen = 0;

  return {
    step(budget) {
      const until = seen + budget;
      while (seen < until) {
        const next = walk.next();
        if (next.done === true) return true;
        tryAllCounts(next.value);
      }
      return false;
    },
    get tried() {
      return problem.tried;
    },
    total,
    get settled() {
      return Math.min(1, seen / total);
    },
    best: () => problem.found(),
  };

  /** Every choice of counts for one set of clays. */
  function tryAllCounts(set: readonly number[]): void {
    const { curves, rules } = problem;
    if (!rules.allowsSet(set, set.length)) return;
    // Parts of concentrates count by the whole, so such sets are worked out recipe by recipe.
    const apart =
      problem.departs(set, set.length) ||
      (problem.power !== 1 && set.some((p) => curves.linear[p] === 1));
    const counts = new Int32Array(set.length);
    level(0, options.parts, 0);

    function level(at: number, left: number, divisor: number): void {
      const to = sums[at + 1];
      to.white.set(sums[at].white);
      to.colour.set(sums[at].colour);
      to.scattering.set(sums[at].scattering);
      const from = set[at] * N;
      const target = curves.white[set[at]] === 1 ? to.white : to.colour;
      const most = left - (set.length - 1 - at);
      for (let count = 1; count <= most; count++) {
        counts[at] = count;
        const more = raised[count] - raised[count - 1];
        for (let band = 0; band < N; band++) {
          target[band] += more * curves.k[from + band];
          to.scattering[band] += more * curves.s[from + band];
        }
        const common = commonDivisor(divisor, count);
        if (at < set.length - 1) level(at + 1, left - count, common);
        else if (common === 1) {
          seen++;
          if (apart) problem.judge(set, counts, set.length);
          else {
            problem.judgeSums(set, counts, set.length, to.white, to.colour, to.scattering);
          }
        }
      }
    }
  }
}

/** Sets of 1 to mostClays clays that include all required ones. */
function* everySet({ size, mostClays, rules }: SearchProblem): Generator<readonly number[]> {
  const chosen: number[] = [];
  for (let m = 1; m <= mostClays; m++) yield* extend(0, m);

  function* extend(from: number, left: number): Generator<readonly number[]> {
    if (left === 0) {
      if (rules.must.every((p) => chosen.includes(p))) yield [...chosen];
      return;
    }
    for (let i = from; i <= size - left; i++) {
      chosen.push(i);
      yield* extend(i + 1, left - 1);
      chosen.pop();
    }
  }
}
