import fc from 'fast-check';
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { AppError } from '../errors.ts';
import { choleskyInPlace } from '../numeric/dense-cholesky.ts';
import { BlockMatrix, eliminationOrder, factorise, solve, solveLower } from './block-cholesky.ts';

const RUNS = { seed: 8191, numRuns: 60 };

/** A random sparse positive definite block matrix: J^T J of "tiles" that touch few blocks, plus 1. */
function randomSystem(seed: number) {
  const random = randomFrom(seed);
  const sizes = Array.from({ length: random.whole(1, 9) }, () => random.whole(1, 5));
  const starts = sizes.map((_, i) => sizes.slice(0, i).reduce((sum, n) => sum + n, 0));
  const n = sizes.reduce((sum, size) => sum + size, 0);
  const dense = Matrix.eye(n, n);
  const matrix = new BlockMatrix(sizes);
  sizes.forEach((size, i) => {
    for (let k = 0; k < size; k++) matrix.block(i, i)[k * size + k] = 1;
  });
  for (let tile = random.whole(0, 8); tile > 0; tile--) {
    const touched = [...new Set([0, 1, 2].map(() => random.whole(0, sizes.length - 1)))];
    const row = new Map(
      touched.map((i) => [i, Float64Array.from({ length: sizes[i] }, random.normal)]),
    );
    for (const [i, a] of row) {
      for (const [j, b] of row) {
        for (let k = 0; k < a.length; k++) {
          for (let l = 0; l < b.length; l++) {
            const r = starts[i] + k;
            const c = starts[j] + l;
            dense.set(r, c, dense.get(r, c) + a[k] * b[l]);
            if (j <= i) matrix.block(i, j)[k * b.length + l] += a[k] * b[l];
          }
        }
      }
    }
  }
  const right = sizes.map((size) => Float64Array.from({ length: size }, random.normal));
  return { sizes, starts, n, dense, matrix, right, random };
}

const seeds = fc.integer({ min: 1, max: 1e9 });
const flat = (blocks: readonly ArrayLike<number>[]) => blocks.flatMap((block) => Array.from(block));

/** Largest distance of two lists, by the largest value of the first. */
function apart(a: readonly number[], b: readonly number[]): number {
  expect(b).toHaveLength(a.length);
  const scale = Math.max(1, ...a.map(Math.abs));
  return Math.max(...a.map((v, i) => Math.abs(v - b[i]))) / scale;
}

// The systems have condition numbers below 1e3.
const ROUNDING = 1e-11;

describe('block Cholesky', () => {
  it('gives the same solution as the dense decomposition of ml-matrix', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const { dense, matrix, right } = randomSystem(seed);
        const x = solve(factorise(matrix), new Map(right.map((b, i) => [i, b])));
        const expected = new CholeskyDecomposition(dense).solve(Matrix.columnVector(flat(right)));
        expect(apart(expected.to1DArray(), flat(x))).toBeLessThan(ROUNDING);
      }),
      RUNS,
    );
  });

  it('is the factor of the matrix: L L^T gives it back in the order of elimination', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const { starts, n, dense, matrix } = randomSystem(seed);
        const { order, sizes, columns } = factorise(matrix);
        const at = sizes.map((_, p) => sizes.slice(0, p).reduce((sum, s) => sum + s, 0));
        const lower = Matrix.zeros(n, n);
        columns.forEach((column, j) => {
          for (const { row, values } of column) {
            for (let k = 0; k < sizes[row]; k++) {
              for (let l = 0; l < sizes[j]; l++) {
                lower.set(at[row] + k, at[j] + l, values[k * sizes[j] + l]);
              }
            }
          }
        });
        const index = order.flatMap((block, p) =>
          Array.from({ length: sizes[p] }, (_, k) => starts[block] + k),
        );
        const expected = dense.selection(index, index);
        expect(apart(expected.to1DArray(), lower.mmul(lower.transpose()).to1DArray())).toBeLessThan(
          ROUNDING,
        );
        for (let r = 0; r < n; r++) for (let c = r + 1; c < n; c++) expect(lower.get(r, c)).toBe(0);
      }),
      RUNS,
    );
  });

  it('does not depend on the order of elimination', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const { sizes, matrix, right, random } = randomSystem(seed);
        const shuffled = sizes.map((_, i) => i);
        for (let i = shuffled.length - 1; i > 0; i--) {
          const j = random.whole(0, i);
          [shuffled[i], shuffled[j]] = [shuffled[j], shuffled[i]];
        }
        const b = new Map(right.map((values, i) => [i, values]));
        const expected = flat(solve(factorise(matrix), b));
        expect(apart(expected, flat(solve(factorise(matrix, shuffled), b)))).toBeLessThan(ROUNDING);
      }),
      RUNS,
    );
  });

  it('gives b^T A^-1 b from the half-way solution, with empty blocks left out of b', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const { dense, sizes, matrix, right, random } = randomSystem(seed);
        const copy = random.whole(0, sizes.length - 1);
        const half = solveLower(factorise(matrix), new Map([[copy, right[copy]]]));
        let size = 0;
        for (const block of half) for (const v of block ?? []) size += v * v;
        const full = Matrix.columnVector(
          flat(right.map((b, i) => (i === copy ? b : new Float64Array(b.length)))),
        );
        const x = new CholeskyDecomposition(dense).solve(full);
        expect(Math.abs(size - full.transpose().mmul(x).get(0, 0))).toBeLessThan(
          ROUNDING * (1 + size),
        );
      }),
      RUNS,
    );
  });

  it('leaves the matrix and the right-hand side unchanged', () => {
    const { matrix, right } = randomSystem(5);
    const before = JSON.stringify([matrix.rows.map((row) => [...row]), right]);
    solve(factorise(matrix), new Map(right.map((b, i) => [i, b])));
    expect(JSON.stringify([matrix.rows.map((row) => [...row]), right])).toBe(before);
  });

  it('eliminates every block once, an arrow from its tips', () => {
    const arrow = new BlockMatrix([1, 1, 1, 1, 1]);
    for (let i = 0; i < 5; i++) {
      arrow.block(i, i)[0] = 10;
      if (i > 0) arrow.block(i, 0)[0] = 1;
    }
    const order = eliminationOrder(arrow);
    expect([...order].sort()).toEqual([0, 1, 2, 3, 4]);
    // The hub goes among the last two, so no empty block is filled.
    expect(order.indexOf(0)).toBeGreaterThanOrEqual(3);
    const filled = factorise(arrow).columns.reduce((sum, column) => sum + column.length, 0);
    expect(filled).toBe(9);
  });

  it('refuses a matrix that is not positive definite', () => {
    const matrix = new BlockMatrix([1, 1]);
    matrix.block(0, 0)[0] = 1;
    matrix.block(1, 1)[0] = 1;
    matrix.block(1, 0)[0] = 2;
    expect(() => factorise(matrix)).toThrow(AppError);
    expect(() => factorise(new BlockMatrix([2]))).toThrow(AppError);
    expect(() => choleskyInPlace(Float64Array.of(1, 2, 2, 1), 2)).toThrow(AppError);
    expect(() => choleskyInPlace(Float64Array.of(Number.NaN), 1)).toThrow(AppError);
  });
});
