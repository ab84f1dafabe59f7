import type { Xyz } from './triples.ts';

/** 3 x 3, by rows. */
export type Matrix = readonly (readonly number[])[];

/** m v. */
export function times(m: Matrix, v: Xyz): Xyz {
  return [
    m[0][0] * v[0] + m[0][1] * v[1] + m[0][2] * v[2],
    m[1][0] * v[0] + m[1][1] * v[1] + m[1][2] * v[2],
    m[2][0] * v[0] + m[2][1] * v[1] + m[2][2] * v[2],
  ];
}

export function determinant(m: Matrix): number {
  return m[0][0] * minor(m, 0, 0) + m[0][1] * minor(m, 0, 1) + m[0][2] * minor(m, 0, 2);
}

/** Infinite where the determinant is 0. */
export function inverse(m: Matrix): Matrix {
  const whole = determinant(m);
  return [0, 1, 2].map((r) => [0, 1, 2].map((c) => minor(m, c, r) / whole));
}

function minor(m: Matrix, r: number, c: number): number {
  const [r1, r2] = [(r + 1) % 3, (r + 2) % 3];
  const [c1, c2] = [(c + 1) % 3, (c + 2) % 3];
  return m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1];
}
