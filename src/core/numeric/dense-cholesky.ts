import { AppError } from '../errors.ts';

/** Dense Cholesky of n x n values by rows, in place; the upper triangle becomes zero. */
export function choleskyInPlace(a: Float64Array, n: number, at = 0): void {
  for (let j = 0; j < n; j++) {
    let pivot = a[j * n + j];
    for (let k = 0; k < j; k++) pivot -= a[j * n + k] * a[j * n + k];
    if (!(pivot > 0)) throw notPositiveDefinite(at);
    const root = Math.sqrt(pivot);
    a[j * n + j] = root;
    let done = j + 1;
    // Four rows at once, as each sum waits for its last term.
    for (; done + 4 <= n; done += 4) {
      const [a0, a1, a2, a3] = [done * n, (done + 1) * n, (done + 2) * n, (done + 3) * n];
      let s0 = a[a0 + j];
      let s1 = a[a1 + j];
      let s2 = a[a2 + j];
      let s3 = a[a3 + j];
      for (let k = 0; k < j; k++) {
        const v = a[j * n + k];
        s0 -= a[a0 + k] * v;
        s1 -= a[a1 + k] * v;
        s2 -= a[a2 + k] * v;
        s3 -= a[a3 + k] * v;
      }
      a[a0 + j] = s0 / root;
      a[a1 + j] = s1 / root;
      a[a2 + j] = s2 / root;
      a[a3 + j] = s3 / root;
    }
    for (let i = done; i < n; i++) {
      let sum = a[i * n + j];
      for (let k = 0; k < j; k++) sum -= a[i * n + k] * a[j * n + k];
      a[i * n + j] = sum / root;
    }
    for (let k = j + 1; k < n; k++) a[j * n + k] = 0;
  }
}

/** Solves L X = B in place of B (d x columns). */
export function forward(lower: Float64Array, b: Float64Array, d: number, columns: number): void {
  for (let r = 0; r < d; r++) {
    for (let k = 0; k < r; k++) {
      const l = lower[r * d + k];
      if (l === 0) continue;
      for (let c = 0; c < columns; c++) b[r * columns + c] -= l * b[k * columns + c];
    }
    const diagonal = lower[r * d + r];
    for (let c = 0; c < columns; c++) b[r * columns + c] /= diagonal;
  }
}

/** Solves Lᵀ x = b in place of b. */
export function backward(lower: Float64Array, b: Float64Array, d: number): void {
  for (let r = d - 1; r >= 0; r--) {
    for (let k = r + 1; k < d; k++) b[r] -= lower[k * d + r] * b[k];
    b[r] /= lower[r * d + r];
  }
}

/**
 * Solves A x = b for a symmetric positive definite A (n x n by rows), x in place of b and the factor
 * in place of A. Refuses: another matrix -> not-positive-definite
 */
export function solveInPlace(a: Float64Array, b: Float64Array, n: number): void {
  choleskyInPlace(a, n);
  forward(a, b, n, 1);
  backward(a, b, n);
}

/** The error of equations without a solution; `at` is the block where it appeared. */
export function notPositiveDefinite(at: number): AppError {
  return new AppError({
    code: 'not-positive-definite',
    kind: 'internal',
    detail: `The equations of the fit have no solution at block ${at}.`,
    hint: 'Please report the readings that cause this.',
  });
}
