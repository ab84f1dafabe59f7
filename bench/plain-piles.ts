/** The smallest set of blocks by trying every set, and judgement block by block, for comparison. */
import { type PlainStock, plainDeltaE2000, plainMix } from './plain-search.ts';

/** For each block: every set of at most three others, as bits, with its closest recipe's difference. */
export type PlainReach = readonly (readonly { readonly bits: number; readonly dE00: number }[])[];

/** Shape: clays by place in the stock; blocks take their places in this list */
export function plainReach(stock: PlainStock, clays: readonly number[], parts: number): PlainReach {
  const labs = clays.map((clay) => plainMix(stock, [{ clay, parts: 1 }]));
  const sets: number[][] = [];
  for (let i = 0; i < clays.length; i++) {
    sets.push([i]);
    for (let j = i + 1; j < clays.length; j++) {
      sets.push([i, j]);
      for (let k = j + 1; k < clays.length; k++) sets.push([i, j, k]);
    }
  }
  const out = clays.map((): { bits: number; dE00: number }[] => []);
  for (const set of sets) {
    const best = clays.map(() => Number.POSITIVE_INFINITY);
    for (const counts of countsOf(set.length, parts)) {
      const lab = plainMix(
        stock,
        set.map((place, i) => ({ clay: clays[place], parts: counts[i] })),
      );
      for (let block = 0; block < clays.length; block++) {
        best[block] = Math.min(best[block], plainDeltaE2000(labs[block], lab));
      }
    }
    const bits = set.reduce((sum, place) => sum | (1 << place), 0);
    for (let block = 0; block < clays.length; block++) {
      if (!set.includes(block)) out[block].push({ bits, dE00: best[block] });
    }
  }
  return out;
}

function countsOf(n: number, parts: number): number[][] {
  if (n === 0) return [[]];
  const out: number[][] = [];
  for (let first = 1; first <= parts - (n - 1); first++) {
    for (const rest of countsOf(n - 1, parts - first)) out.push([first, ...rest]);
  }
  return out;
}

/** Whether all blocks that are not in the set are mixed from it. */
export function plainHolds(reach: PlainReach, held: number, tolerance: number): boolean {
  return reach.every(
    (sets, block) =>
      (held & (1 << block)) !== 0 ||
      sets.some(({ bits, dE00 }) => dE00 <= tolerance && (bits & held) === bits),
  );
}

/** The fewest blocks, by trying every set. */
export function plainFewest(reach: PlainReach, tolerance: number): number {
  let fewest = reach.length;
  for (let held = 1; held < 1 << reach.length; held++) {
    const count = ones(held);
    if (count < fewest && plainHolds(reach, held, tolerance)) fewest = count;
  }
  return fewest;
}

/** Blocks to buy when each is judged alone: those that nothing else gives, whatever else is bought. */
export function oneByOne(reach: PlainReach, tolerance: number): number {
  return reach.reduce(
    (held, sets, block) =>
      sets.some(({ dE00 }) => dE00 <= tolerance) ? held : held | (1 << block),
    0,
  );
}

export function ones(bits: number): number {
  let count = 0;
  for (let left = bits; left > 0; left &= left - 1) count++;
  return count;
}
