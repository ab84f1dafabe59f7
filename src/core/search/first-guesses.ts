import { commonDivisor } from '../numeric/common-divisor.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import type { SearchProblem } from './search-problem.ts';

/** Number of recipes from which a walk starts. */
const WALKS = 24;
const MOST_STEPS = 12;

/**
 * Good recipes quickly, so that a search can drop worse ones: walks from recipes of one and two
 * clays, each step to the best neighbour (a part more or less, one clay for another). They need not
 * be the best; every good recipe on the way is listed.
 * Holds:   the same problem gives the same walks
 */
export function* firstGuesses(problem: SearchProblem): Generator<void> {
  const { size, mostClays, rules } = problem;
  const { parts } = problem.options;
  const random = seededChance(1);
  const judged = new Map<string, number>();
  const starts: Recipe[] = [];
  const must = [...rules.must];
  if (must.length > mostClays) return;

  const judge = (recipe: Recipe): number => {
    const { set, counts } = inLeastParts(recipe);
    const key = set.map((p, i) => `${p}:${counts[i]}`).join(' ');
    let error = judged.get(key);
    if (error === undefined) {
      const legal = set.length === 0 || rules.allowsSet(set, set.length);
      error = legal ? problem.judge(set, counts, set.length) : Number.POSITIVE_INFINITY;
      if (!rules.allowsParts(set, set.length, counts)) error += 5;
      judged.set(key, error);
    }
    return error;
  };
  const consider = (recipe: Recipe) => {
    if (recipe.set.length === 0 || recipe.set.length > mostClays) return;
    if (recipe.counts.reduce((a, b) => a + b, 0) > parts) return;
    starts.push({ ...recipe, error: judge(recipe) });
  };

  const every = Array.from({ length: size }, (_, p) => p);
  const with_ = (extra: readonly number[], counts: readonly number[]): Recipe => {
    const set = [...must];
    const out = must.map(() => 1);
    extra.forEach((p, i) => {
      const at = set.indexOf(p);
      if (at >= 0) out[at] = counts[i];
      else {
        set.push(p);
        out.push(counts[i]);
      }
    });
    return { set, counts: out, error: 0 };
  };
  for (const p of every) consider(with_([p], [1]));
  yield;
  // Pairs of the clays closest alone with every other clay, strong against weak.
  starts.sort((a, b) => a.error - b.error);
  const near = starts.slice(0, 6).map(({ set }) => set[set.length - 1]);
  for (const p of near) {
    for (const q of every) {
      if (q === p) continue;
      for (const counts of [
        [1, 1],
        [3, 1],
        [1, 3],
        [6, 1],
      ]) {
        consider(with_([p, q], counts));
      }
    }
    yield;
  }
  for (let n = 0; n < 60; n++) {
    const extra = Array.from({ length: Math.min(3, size) }, () =>
      Math.floor(random.uniform() * size),
    );
    consider(with_(extra, [2, 1, 1]));
  }
  starts.sort((a, b) => a.error - b.error);
  for (const start of spread(starts, WALKS)) {
    let at = start;
    for (let step = 0; step < MOST_STEPS; step++) {
      const next = bestNeighbour(at);
      yield;
      if (!(next.error < at.error)) break;
      at = next;
    }
  }

  function bestNeighbour(from: Recipe): Recipe {
    let best = from;
    const offer = (set: number[], counts: number[]) => {
      if (set.length === 0 || set.length > mostClays) return;
      if (counts.reduce((a, b) => a + b, 0) > parts) return;
      const error = judge({ set, counts, error: 0 });
      if (error < best.error) best = { set, counts, error };
    };
    from.set.forEach((p, i) => {
      for (const more of [1, -1, 2]) {
        const count = from.counts[i] + more;
        if (count > 0) offer([...from.set], from.counts.with(i, count));
        else if (!must.includes(p)) offer(from.set.toSpliced(i, 1), from.counts.toSpliced(i, 1));
      }
      if (must.includes(p)) return;
      for (const q of every) {
        if (!from.set.includes(q)) offer(from.set.with(i, q), [...from.counts]);
      }
    });
    if (from.set.length < mostClays) {
      for (const q of every) {
        if (!from.set.includes(q)) offer([...from.set, q], [...from.counts, 1]);
      }
    }
    // The same ratio in more parts has finer steps.
    const total = from.counts.reduce((a, b) => a + b, 0);
    if (total * 2 <= parts) {
      const doubled = from.counts.map((n) => 2 * n);
      doubled.forEach((_, i) => {
        for (const more of [1, -1]) {
          const counts = doubled.with(i, doubled[i] + more);
          offer([...from.set], counts);
        }
      });
    }
    return best;
  }
}

interface Recipe {
  readonly set: number[];
  readonly counts: number[];
  readonly error: number;
}

function inLeastParts({ set, counts }: Recipe): { set: number[]; counts: number[] } {
  const order = set.map((_, i) => i).sort((a, b) => set[a] - set[b]);
  const divisor = counts.reduce(commonDivisor, 0);
  return {
    set: order.map((i) => set[i]),
    counts: order.map((i) => counts[i] / divisor),
  };
}

/** The first of each set of clays, best first, up to a number. */
function spread(starts: readonly Recipe[], most: number): Recipe[] {
  const seen = new Set<string>();
  const out: Recipe[] = [];
  for (const start of starts) {
    const key = [...start.set].sort((a, b) => a - b).join('+');
    if (seen.has(key)) continue;
    seen.add(key);
    out.push(start);
    if (out.length === most) break;
  }
  return out;
}
