import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { seededChance } from './seeded-chance.ts';
import { tridiagonalModes } from './tridiagonal-modes.ts';

describe('modes of a tridiagonal matrix', () => {
  it.each([2, 7, 40])('agree with ml-matrix, for %i unknowns', (n) => {
    const { normal } = seededChance(n);
    const diagonal = Array.from({ length: n }, () => 3 + Math.abs(normal()));
    const beside = Array.from({ length: n - 1 }, normal);
    const row = Array.from({ length: n }, normal);
    const matrix = Matrix.diag(diagonal);
    for (const [i, value] of beside.entries()) {
      matrix.set(i, i + 1, value);
      matrix.set(i + 1, i, value);
    }
    const rival = new EigenvalueDecomposition(matrix, { assumeSymmetric: true });
    const { values, products } = tridiagonalModes(diagonal, beside, [row, row]);
    const order = [...values.keys()].sort((a, b) => values[a] - values[b]);
    for (const [place, i] of order.entries()) {
      expect(values[i]).toBeCloseTo(rival.realEigenvalues[place], 10);
      const product = row.reduce((sum, v, k) => sum + v * rival.eigenvectorMatrix.get(k, place), 0);
      // The way an eigenvector points is free.
      expect(products[0][i] * products[1][i]).toBeCloseTo(product * product, 10);
    }
  });

  it('takes a matrix that falls apart into blocks, and one of a single value', () => {
    const { values } = tridiagonalModes([1, 2, 3], [0, 0], []);
    expect([...values]).toEqual([1, 2, 3]);
    expect(tridiagonalModes([4], [], [[2]]).products[0][0]).toBe(2);
  });

  it('refuses numbers that do not settle', () => {
    expect(() => tridiagonalModes([Number.NaN, 1], [1], [])).toThrow('do not settle');
  });
});
