import type { Lab } from '../colour/triples.ts';
import { backward, choleskyInPlace, forward } from '../numeric/dense-cholesky.ts';

/** Colours closer than this share most of the residual of a correction, CIELAB units. */
const REACH = 25;

/** Residuals of a correction at known colours, smoothed over the colours in between. */
export interface Residual {
  readonly colours: readonly Lab[];
  readonly factor: Float64Array;
  /** Three columns, one row a colour. */
  readonly shares: Float64Array;
}

/**
 * Smooths residuals over colour space by a Gaussian process whose smooth part and whose own part
 * are equal in size.
 * Shape:   colours, three residuals each -> the field that `residualAt` reads
 * Source:  [RasmussenWilliams2006] ch. 2; reach and halves chosen on four real photos
 */
export function residualFrom(colours: readonly Lab[], residuals: ArrayLike<number>): Residual {
  const n = colours.length;
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) factor[i * n + j] = likeness(colours[i], colours[j]);
    factor[i * n + i] += 1;
  }
  choleskyInPlace(factor, n);
  const shares = new Float64Array(3 * n);
  for (let r = 0; r < 3; r++) {
    const column = Float64Array.from({ length: n }, (_, i) => residuals[3 * i + r]);
    forward(factor, column, n, 1);
    backward(factor, column, n);
    for (let i = 0; i < n; i++) shares[3 * i + r] = column[i];
  }
  return { colours, factor, shares };
}

/** Expected residual at a colour, three numbers. */
export function residualAt(residual: Residual, colour: Lab): [number, number, number] {
  const out: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < residual.colours.length; i++) {
    const like = likeness(residual.colours[i], colour);
    for (let r = 0; r < 3; r++) out[r] += like * residual.shares[3 * i + r];
  }
  return out;
}

/**
 * Share of the smooth part that two colours still have in common once the patches are known: 1 all,
 * 0 none.
 */
export function residualCommon(residual: Residual, one: Lab, other: Lab): number {
  const n = residual.colours.length;
  const a = Float64Array.from(residual.colours, (c) => likeness(c, one));
  const b = Float64Array.from(residual.colours, (c) => likeness(c, other));
  forward(residual.factor, a, n, 1);
  forward(residual.factor, b, n, 1);
  let known = 0;
  for (let i = 0; i < n; i++) known += a[i] * b[i];
  return likeness(one, other) - known;
}

function likeness(one: Lab, other: Lab): number {
  const squared = (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 + (one[2] - other[2]) ** 2;
  return Math.exp(-squared / (2 * REACH * REACH));
}
