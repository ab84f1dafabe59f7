import { invalidInput } from '../errors.ts';

const MOST_ROUNDS = 60;

/**
 * Eigenvalues of a symmetric tridiagonal matrix, and the products of some rows with its eigenvectors, which
 * are never written out.
 * Shape:   n values of the diagonal, n - 1 beside it, rows of n -> n eigenvalues; each row times each vector
 * Refuses: numbers that do not settle -> invalid-input
 * Method:  implicit QL steps; each turn is applied to the rows alone, so all takes n^2 operations
 * Source:  [GolubWelsch1969]
 */
export function tridiagonalModes(
  diagonal: ArrayLike<number>,
  beside: ArrayLike<number>,
  rows: readonly ArrayLike<number>[],
): { readonly values: Float64Array; readonly products: readonly Float64Array[] } {
  const n = diagonal.length;
  const values = Float64Array.from(diagonal);
  const off = new Float64Array(n);
  off.set(beside);
  const products = rows.map((row) => Float64Array.from(row));
  for (let first = 0; first < n; first++) {
    for (let round = 0; ; round++) {
      const last = endOfBlock(values, off, first);
      if (last === first) break;
      if (round === MOST_ROUNDS) throw invalidInput('The modes of a matrix do not settle.');
      step(values, off, products, first, last);
    }
  }
  return { values, products };
}

/** The last place of the block that begins at a place: where the value beside the diagonal is as good as 0. */
function endOfBlock(values: Float64Array, off: Float64Array, first: number): number {
  let last = first;
  while (last < values.length - 1) {
    const size = Math.abs(values[last]) + Math.abs(values[last + 1]);
    if (Math.abs(off[last]) <= Number.EPSILON * size) break;
    last++;
  }
  return last;
}

/** One implicit QL step of a block, from its end to its beginning. */
function step(
  values: Float64Array,
  off: Float64Array,
  products: readonly Float64Array[],
  first: number,
  last: number,
): void {
  const half = (values[first + 1] - values[first]) / (2 * off[first]);
  const root = Math.hypot(half, 1);
  let g = values[last] - values[first] + off[first] / (half + (half >= 0 ? root : -root));
  let [sine, cosine, moved] = [1, 1, 0];
  for (let i = last - 1; i >= first; i--) {
    const f = sine * off[i];
    const b = cosine * off[i];
    const r = Math.hypot(f, g);
    off[i + 1] = r;
    if (r === 0) {
      values[i + 1] -= moved;
      off[last] = 0;
      return;
    }
    sine = f / r;
    cosine = g / r;
    const base = values[i + 1] - moved;
    const turned = (values[i] - base) * sine + 2 * cosine * b;
    moved = sine * turned;
    values[i + 1] = base + moved;
    g = cosine * turned - b;
    for (const row of products) {
      const [here, next] = [row[i], row[i + 1]];
      row[i + 1] = sine * here + cosine * next;
      row[i] = cosine * here - sine * next;
    }
  }
  values[first] -= moved;
  off[first] = g;
  off[last] = 0;
}
