import { Matrix, solve } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { AppError } from '../errors.ts';
import { backward, choleskyInPlace, forward, solveInPlace } from './dense-cholesky.ts';

/** Conditioned to about a hundred, 12 unknowns: rounding alone stays below. */
const ROUNDING = 1e-10;
const SIZE = 12;

function positive(seed: number): Float64Array {
  const random = randomFrom(seed);
  const half = Float64Array.from({ length: SIZE * SIZE }, () => random.normal());
  const out = new Float64Array(SIZE * SIZE);
  for (let i = 0; i < SIZE; i++) {
    for (let j = 0; j < SIZE; j++) {
      for (let k = 0; k < SIZE; k++) out[i * SIZE + j] += half[i * SIZE + k] * half[j * SIZE + k];
    }
    out[i * SIZE + i] += SIZE;
  }
  return out;
}

describe('dense solves', () => {
  it.each([1, 2, 3])('agree with ml-matrix, by LU (seed %i)', (seed) => {
    const a = positive(seed);
    const random = randomFrom(100 + seed);
    const right = Float64Array.from({ length: SIZE }, () => random.normal());
    const rival = solve(Matrix.from1DArray(SIZE, SIZE, [...a]), Matrix.columnVector([...right]));
    const once = right.slice();
    solveInPlace(a.slice(), once, SIZE);
    const factor = a.slice();
    choleskyInPlace(factor, SIZE);
    const steps = right.slice();
    forward(factor, steps, SIZE, 1);
    backward(factor, steps, SIZE);
    for (let i = 0; i < SIZE; i++) {
      expect(Math.abs(once[i] - rival.get(i, 0))).toBeLessThan(ROUNDING);
      expect(Math.abs(steps[i] - rival.get(i, 0))).toBeLessThan(ROUNDING);
    }
  });

  it('refuses what is not positive definite', () => {
    expect(() => choleskyInPlace(Float64Array.of(1, 2, 2, 1), 2)).toThrow(AppError);
  });
});
