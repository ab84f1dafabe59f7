import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';
import { type BlockFactor, solveLower } from './block-cholesky.ts';
import type { ClayModel } from './clay-model.ts';
import type { MixInUnknowns } from './predict.ts';

/**
 * A mix in terms of the unknowns of a model, scaled so that the covariance of the unknowns is the
 * unit: Y = L⁻¹ Jᵀ, P = L Lᵀ. Covariances of two mixes are then plain products. A mix has few
 * clays, so most of Y is empty.
 */
export interface WhiteMix {
  /** Places among the n unknowns, in order of elimination, that are not empty. */
  readonly places: Int32Array;
  /** Three rows (L, a, b) of as many values as places. */
  readonly rows: readonly Float64Array[];
}

/** A mix as `mixInUnknowns` gives it, in whitened unknowns. */
export function whiteMix({ factor }: Pick<ClayModel, 'factor'>, mix: MixInUnknowns): WhiteMix {
  const starts = startsOf(factor);
  const solved = [0, 1, 2].map((r) => {
    const row = new Map<number, Float64Array>();
    for (const [block, slopes] of mix.blocks) {
      const columns = slopes.length / 3;
      row.set(block, slopes.subarray(r * columns, (r + 1) * columns));
    }
    return solveLower(factor, row);
  });
  const places: number[] = [];
  solved[0].forEach((block, p) => {
    for (let k = 0; k < (block?.length ?? 0); k++) places.push(starts[p] + k);
  });
  const rows = solved.map((blocks) => {
    const values = new Float64Array(places.length);
    let at = 0;
    for (const block of blocks) {
      if (block === undefined) continue;
      values.set(block, at);
      at += block.length;
    }
    return values;
  });
  return { places: Int32Array.from(places), rows };
}

/** Number of unknowns in a model, all blocks together. */
export function countOfUnknowns({ factor }: Pick<ClayModel, 'factor'>): number {
  return factor.sizes.reduce((sum, size) => sum + size, 0);
}

/** Yᵀ Y, 3 x 3 by rows. */
export function gramOf({ rows }: WhiteMix): Float64Array {
  const out = new Float64Array(9);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let i = 0; i < rows[a].length; i++) sum += rows[a][i] * rows[b][i];
      out[a * 3 + b] = sum;
      out[b * 3 + a] = sum;
    }
  }
  return out;
}

/** Yᵀ V with V as three dense vectors, 3 x 3 by rows. */
export function crossed({ places, rows }: WhiteMix, dense: readonly Float64Array[]): Float64Array {
  const out = new Float64Array(9);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      const row = rows[a];
      const other = dense[b];
      let sum = 0;
      for (let i = 0; i < places.length; i++) sum += row[i] * other[places[i]];
      out[a * 3 + b] = sum;
    }
  }
  return out;
}

/** Yᵀ B Y with B n x n by rows and symmetric, 3 x 3 by rows. */
export function quadraticForm(
  { places, rows }: WhiteMix,
  b: Float64Array,
  n: number,
): Float64Array {
  const out = new Float64Array(9);
  const [first, second, third] = rows;
  for (let i = 0; i < places.length; i++) {
    const from = places[i] * n;
    let x = 0;
    let y = 0;
    let z = 0;
    for (let j = 0; j < places.length; j++) {
      const value = b[from + places[j]];
      x += value * first[j];
      y += value * second[j];
      z += value * third[j];
    }
    for (let a = 0; a < 3; a++) {
      out[a * 3] += rows[a][i] * x;
      out[a * 3 + 1] += rows[a][i] * y;
      out[a * 3 + 2] += rows[a][i] * z;
    }
  }
  return out;
}

/** Adds weight · Y W Yᵀ to a symmetric n x n matrix by rows. */
export function addSpread(
  b: Float64Array,
  n: number,
  { places, rows }: WhiteMix,
  metric: Float64Array,
  weight: number,
): void {
  const turned = [0, 1, 2].map((a) => {
    const out = new Float64Array(places.length);
    for (let c = 0; c < 3; c++) {
      const w = weight * metric[a * 3 + c];
      for (let i = 0; i < out.length; i++) out[i] += w * rows[c][i];
    }
    return out;
  });
  const [x, y, z] = rows;
  for (let i = 0; i < places.length; i++) {
    const from = places[i] * n;
    const [u, v, w] = [turned[0][i], turned[1][i], turned[2][i]];
    for (let j = 0; j < places.length; j++) {
      b[from + places[j]] += u * x[j] + v * y[j] + w * z[j];
    }
  }
}

/** tr(A B) of two symmetric 3 x 3. */
export function traceOfProduct(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < 9; i++) sum += a[i] * b[i];
  return sum;
}

/** tr(S⁻¹ H) of a positive definite S and a symmetric H, 3 x 3. */
export function traceOfQuotient(s: Float64Array, h: Float64Array): number {
  const root = rootOf(s);
  const x = Float64Array.from(h);
  forward(root, x, 3, 3);
  const turned = new Float64Array(9);
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) turned[i * 3 + j] = x[j * 3 + i];
  forward(root, turned, 3, 3);
  return turned[0] + turned[4] + turned[8];
}

/** Lower Cholesky factor of 3 x 3. */
export function rootOf(s: Float64Array): Float64Array {
  const root = Float64Array.from(s);
  choleskyInPlace(root, 3);
  return root;
}

/**
 * Squared CIEDE2000 near a colour as a quadratic form: dE00² = dᵀ W d.
 * Shape:   Lab -> 3 x 3 by rows, symmetric
 * Method:  differences half a unit to both sides, so that they step over the kink at grey
 */
export function metricAt(lab: Lab): Float64Array {
  const step = 0.5;
  const squared = (dl: number, da: number, db: number) => {
    const there = deltaE2000(lab, [lab[0] + dl, lab[1] + da, lab[2] + db]);
    const back = deltaE2000(lab, [lab[0] - dl, lab[1] - da, lab[2] - db]);
    return (there * there + back * back) / (2 * step * step);
  };
  const w = new Float64Array(9);
  const unit = [0, 1, 2].map((i) => [0, 1, 2].map((k) => (k === i ? step : 0)));
  for (let i = 0; i < 3; i++) w[i * 3 + i] = squared(unit[i][0], unit[i][1], unit[i][2]);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < i; j++) {
      const [x, y, z] = [0, 1, 2].map((k) => unit[i][k] + unit[j][k]);
      const both = (squared(x, y, z) - w[i * 3 + i] - w[j * 3 + j]) / 2;
      w[i * 3 + j] = both;
      w[j * 3 + i] = both;
    }
  }
  return w;
}

/**
 * L x of a vector given in order of elimination: how a whitened vector weighs on the unknowns.
 * Values beyond the factor's unknowns are returned unchanged.
 */
export function lowerTimes(factor: BlockFactor, x: Float64Array): Float64Array {
  const starts = startsOf(factor);
  const out = Float64Array.from(x);
  factor.columns.forEach((_, j) => {
    out.fill(0, starts[j], starts[j] + factor.sizes[j]);
  });
  factor.columns.forEach((column, j) => {
    const n = factor.sizes[j];
    for (const { row, values } of column) {
      for (let r = 0; r < factor.sizes[row]; r++) {
        let sum = 0;
        for (let k = 0; k < n; k++) sum += values[r * n + k] * x[starts[j] + k];
        out[starts[row] + r] += sum;
      }
    }
  });
  return out;
}

/** L⁻ᵀ x, in the same order: how a whitened vector moves the unknowns. */
export function solveUpper(factor: BlockFactor, b: Float64Array): Float64Array {
  const starts = startsOf(factor);
  const x = Float64Array.from(b);
  for (let j = factor.columns.length - 1; j >= 0; j--) {
    const n = factor.sizes[j];
    const [diagonal, ...below] = factor.columns[j];
    const own = x.subarray(starts[j], starts[j] + n);
    for (const { row, values } of below) {
      for (let r = 0; r < factor.sizes[row]; r++) {
        const known = x[starts[row] + r];
        for (let k = 0; k < n; k++) own[k] -= values[r * n + k] * known;
      }
    }
    for (let r = n - 1; r >= 0; r--) {
      let sum = own[r];
      for (let k = r + 1; k < n; k++) sum -= diagonal.values[k * n + r] * own[k];
      own[r] = sum / diagonal.values[r * n + r];
    }
  }
  return x;
}

/** First place of each block, in order of elimination. */
export function startsOf({ sizes }: Pick<BlockFactor, 'sizes'>): number[] {
  let at = 0;
  return sizes.map((size) => {
    at += size;
    return at - size;
  });
}
