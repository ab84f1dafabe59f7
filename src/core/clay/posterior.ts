import { type BlockFactor, dotOfSolved, solveLower } from './block-cholesky.ts';

/** Adds J P⁻¹ Jᵀ, with P the precision of the unknowns and J the slopes by block. */
export function addPosterior(
  covariance: Float64Array,
  model: { readonly factor: BlockFactor },
  blocks: ReadonlyMap<number, Float64Array>,
): void {
  addProducts(covariance, solvedRows(model, blocks, Math.sqrt(covariance.length)));
}

/** An answer of {@link solveLower}, by position. */
export type Solved = (Float64Array | undefined)[];

/** L⁻¹ Jᵀ, a row of J at a time. */
export function solvedRows(
  model: { readonly factor: BlockFactor },
  blocks: ReadonlyMap<number, Float64Array>,
  d: number,
): Solved[] {
  return Array.from({ length: d }, (_, r) => {
    const row = new Map<number, Float64Array>();
    for (const [block, jacobian] of blocks) {
      const columns = jacobian.length / d;
      row.set(block, jacobian.subarray(r * columns, (r + 1) * columns));
    }
    return solveLower(model.factor, row);
  });
}

/** Adds one answer to another in place; empty places take the added blocks. */
export function addSolved(sum: Solved, more: Solved): void {
  more.forEach((block, at) => {
    const into = sum[at];
    if (block === undefined) return;
    if (into === undefined) sum[at] = block.slice();
    else for (let k = 0; k < block.length; k++) into[k] += block[k];
  });
}

export function addProducts(covariance: Float64Array, solved: readonly Solved[]): void {
  const d = solved.length;
  for (let a = 0; a < d; a++) {
    for (let b = 0; b <= a; b++) {
      const sum = dotOfSolved(solved[a], solved[b]);
      covariance[a * d + b] += sum;
      if (a !== b) covariance[b * d + a] += sum;
    }
  }
}
