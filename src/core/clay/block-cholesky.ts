import { choleskyInPlace, notPositiveDefinite } from '../numeric/dense-cholesky.ts';

/**
 * A symmetric positive definite matrix of unequal square blocks, most of them empty.
 *
 * Two clays meet in the normal equations only when some tile holds both, so the matrix of a stock
 * whose tiles are mostly "clay and white" has the shape of an arrow. Working block by block and
 * skipping the empty ones makes a fit grow with the number of tiles and not with the cube of the
 * clays.
 */
export class BlockMatrix {
  readonly sizes: readonly number[];
  /** `rows[i].get(j)`, j <= i: block of sizes[i] x sizes[j] values by rows; of j = i the lower half counts. */
  readonly rows: Map<number, Float64Array>[];

  constructor(sizes: readonly number[]) {
    this.sizes = sizes;
    this.rows = sizes.map(() => new Map());
  }

  /** Block (i, j) with j <= i; an empty one is created with zeros. */
  block(i: number, j: number): Float64Array {
    let found = this.rows[i].get(j);
    if (found === undefined) {
      found = new Float64Array(this.sizes[i] * this.sizes[j]);
      this.rows[i].set(j, found);
    }
    return found;
  }
}

/**
 * Order of elimination that fills few empty blocks: always the block with the fewest neighbours
 * remaining (ties: the smaller index).
 * Source:  minimum degree, [GeorgeLiu1989]
 */
export function eliminationOrder(matrix: BlockMatrix): number[] {
  const count = matrix.sizes.length;
  const neighbours: Set<number>[] = Array.from({ length: count }, () => new Set());
  matrix.rows.forEach((row, i) => {
    for (const j of row.keys()) {
      if (i === j) continue;
      neighbours[i].add(j);
      neighbours[j].add(i);
    }
  });
  const left = new Set(Array.from({ length: count }, (_, i) => i));
  const order: number[] = [];
  while (left.size > 0) {
    let best = -1;
    for (const i of left) {
      if (best < 0 || neighbours[i].size < neighbours[best].size) best = i;
    }
    order.push(best);
    left.delete(best);
    const around = [...neighbours[best]];
    for (const a of around) {
      neighbours[a].delete(best);
      for (const b of around) if (a !== b) neighbours[a].add(b);
    }
  }
  return order;
}

/** Lower-triangular factor L of a block matrix A = L Lᵀ, blocks in order of elimination. */
export interface BlockFactor {
  /** `order[position]` is the block of the matrix eliminated at that position. */
  readonly order: readonly number[];
  readonly sizes: readonly number[];
  /** `columns[j]`: the filled blocks below and on the diagonal of column j, by position. */
  readonly columns: readonly (readonly FactorBlock[])[];
}

/** Unknowns of a block of the matrix. */
export function sizeOfBlock(
  { order, sizes }: Pick<BlockFactor, 'order' | 'sizes'>,
  block: number,
): number {
  return sizes[order.indexOf(block)];
}

export interface FactorBlock {
  readonly row: number;
  readonly values: Float64Array;
}

/**
 * Factor of a symmetric positive definite block matrix, its diagonal raised by the share `damping`.
 * Refuses: a pivot that is not positive -> AppError `not-positive-definite`
 */
export function factorise(
  matrix: BlockMatrix,
  order: readonly number[] = eliminationOrder(matrix),
  damping = 0,
): BlockFactor {
  const count = order.length;
  const position = new Int32Array(count);
  order.forEach((block, at) => {
    position[block] = at;
  });
  const sizes = order.map((block) => matrix.sizes[block]);
  const columns: Map<number, Float64Array>[] = Array.from({ length: count }, () => new Map());
  matrix.rows.forEach((row, i) => {
    for (const [j, values] of row) {
      const pi = position[i];
      const pj = position[j];
      if (pi === pj) columns[pj].set(pi, damped(values, matrix.sizes[i], damping));
      else if (pi > pj) columns[pj].set(pi, values.slice());
      else columns[pi].set(pj, transposed(values, matrix.sizes[i], matrix.sizes[j]));
    }
  });
  const factor: FactorBlock[][] = [];
  for (let j = 0; j < count; j++) {
    const column = columns[j];
    const diagonal = column.get(j);
    if (diagonal === undefined) throw notPositiveDefinite(j);
    choleskyInPlace(diagonal, sizes[j], j);
    const below = [...column.entries()].filter(([i]) => i !== j).sort((a, b) => a[0] - b[0]);
    for (const [i, values] of below) solveTransposedRows(values, diagonal, sizes[i], sizes[j]);
    for (let a = 0; a < below.length; a++) {
      for (let b = a; b < below.length; b++) {
        const [lower, lowerValues] = below[b];
        const [upper, upperValues] = below[a];
        let target = columns[upper].get(lower);
        if (target === undefined) {
          target = new Float64Array(sizes[lower] * sizes[upper]);
          columns[upper].set(lower, target);
        }
        subtractProduct(target, lowerValues, upperValues, sizes[lower], sizes[upper], sizes[j]);
      }
    }
    factor.push([{ row: j, values: diagonal }, ...below.map(([row, values]) => ({ row, values }))]);
  }
  return { order, sizes, columns: factor };
}

/**
 * Solves L y = b for one right-hand side given by blocks; empty blocks of b cost no work.
 * Shape:   b: block of the matrix -> values; result: position -> values
 */
export function solveLower(
  factor: BlockFactor,
  rightHandSide: ReadonlyMap<number, Float64Array>,
): (Float64Array | undefined)[] {
  const { order, sizes, columns } = factor;
  const y: (Float64Array | undefined)[] = order.map((block) => {
    const given = rightHandSide.get(block);
    return given === undefined ? undefined : Float64Array.from(given);
  });
  for (let j = 0; j < order.length; j++) {
    const own = y[j];
    if (own === undefined) continue;
    const n = sizes[j];
    const [diagonal, ...below] = columns[j];
    for (let r = 0; r < n; r++) {
      let sum = own[r];
      for (let k = 0; k < r; k++) sum -= diagonal.values[r * n + k] * own[k];
      own[r] = sum / diagonal.values[r * n + r];
    }
    for (const { row, values } of below) {
      const target = (y[row] ??= new Float64Array(sizes[row]));
      for (let r = 0; r < target.length; r++) {
        let sum = 0;
        for (let k = 0; k < n; k++) sum += values[r * n + k] * own[k];
        target[r] -= sum;
      }
    }
  }
  return y;
}

/** Inner product of two answers of {@link solveLower}: bᵀ A⁻¹ c of their right-hand sides. */
export function dotOfSolved(
  one: readonly (Float64Array | undefined)[],
  other: readonly (Float64Array | undefined)[],
): number {
  let sum = 0;
  for (let p = 0; p < one.length; p++) {
    const left = one[p];
    const right = other[p];
    if (left === undefined || right === undefined) continue;
    for (let k = 0; k < left.length; k++) sum += left[k] * right[k];
  }
  return sum;
}

/** Solves A x = b. Shape: block of the matrix -> values, both ways; the answer has every block. */
export function solve(
  factor: BlockFactor,
  rightHandSide: ReadonlyMap<number, Float64Array>,
): Float64Array[] {
  const { order, sizes, columns } = factor;
  const y = solveLower(factor, rightHandSide);
  for (let j = order.length - 1; j >= 0; j--) {
    const n = sizes[j];
    const own = (y[j] ??= new Float64Array(n));
    const [diagonal, ...below] = columns[j];
    for (const { row, values } of below) {
      const other = y[row]!;
      for (let r = 0; r < other.length; r++) {
        const x = other[r];
        for (let k = 0; k < n; k++) own[k] -= values[r * n + k] * x;
      }
    }
    for (let r = n - 1; r >= 0; r--) {
      let sum = own[r];
      for (let k = r + 1; k < n; k++) sum -= diagonal.values[k * n + r] * own[k];
      own[r] = sum / diagonal.values[r * n + r];
    }
  }
  const x: Float64Array[] = new Array(order.length);
  order.forEach((block, at) => {
    x[block] = y[at]!;
  });
  return x;
}

/** Rows X of X Lᵀ = B, in place of B (m x n); four rows at once, as each sum waits for its last term. */
function solveTransposedRows(b: Float64Array, lower: Float64Array, m: number, n: number): void {
  let done = 0;
  for (; done + 4 <= m; done += 4) {
    const [b0, b1, b2, b3] = [done * n, (done + 1) * n, (done + 2) * n, (done + 3) * n];
    for (let j = 0; j < n; j++) {
      const lj = j * n;
      let s0 = b[b0 + j];
      let s1 = b[b1 + j];
      let s2 = b[b2 + j];
      let s3 = b[b3 + j];
      for (let k = 0; k < j; k++) {
        const l = lower[lj + k];
        s0 -= b[b0 + k] * l;
        s1 -= b[b1 + k] * l;
        s2 -= b[b2 + k] * l;
        s3 -= b[b3 + k] * l;
      }
      const diagonal = lower[lj + j];
      b[b0 + j] = s0 / diagonal;
      b[b1 + j] = s1 / diagonal;
      b[b2 + j] = s2 / diagonal;
      b[b3 + j] = s3 / diagonal;
    }
  }
  for (let i = done; i < m; i++) {
    for (let j = 0; j < n; j++) {
      let sum = b[i * n + j];
      for (let k = 0; k < j; k++) sum -= b[i * n + k] * lower[j * n + k];
      b[i * n + j] = sum / lower[j * n + j];
    }
  }
}

/**
 * target (m x n) -= a (m x k) b (n x k)ᵀ, of a block on the diagonal the lower half; four columns at
 * once, as each sum waits for its last term.
 */
function subtractProduct(
  target: Float64Array,
  a: Float64Array,
  b: Float64Array,
  m: number,
  n: number,
  k: number,
): void {
  for (let i = 0; i < m; i++) {
    const ai = i * k;
    const end = a === b ? i + 1 : n;
    let done = 0;
    for (; done + 4 <= end; done += 4) {
      const [b0, b1, b2, b3] = [done * k, (done + 1) * k, (done + 2) * k, (done + 3) * k];
      let s0 = 0;
      let s1 = 0;
      let s2 = 0;
      let s3 = 0;
      for (let c = 0; c < k; c++) {
        const v = a[ai + c];
        s0 += v * b[b0 + c];
        s1 += v * b[b1 + c];
        s2 += v * b[b2 + c];
        s3 += v * b[b3 + c];
      }
      const at = i * n + done;
      target[at] -= s0;
      target[at + 1] -= s1;
      target[at + 2] -= s2;
      target[at + 3] -= s3;
    }
    for (let j = done; j < end; j++) {
      const bj = j * k;
      let sum = 0;
      for (let c = 0; c < k; c++) sum += a[ai + c] * b[bj + c];
      target[i * n + j] -= sum;
    }
  }
}

function damped(values: Float64Array, n: number, damping: number): Float64Array {
  const out = values.slice();
  for (let k = 0; k < n; k++) out[k * (n + 1)] *= 1 + damping;
  return out;
}

function transposed(values: Float64Array, rows: number, columns: number): Float64Array {
  const out = new Float64Array(values.length);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < columns; j++) out[j * rows + i] = values[i * columns + j];
  }
  return out;
}
