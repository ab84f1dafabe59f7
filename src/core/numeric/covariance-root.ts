import { invalidInput } from '../errors.ts';

/** Share of the whole variance below which a direction has none: rounding of sums of its size. */
const NOUGHT = 1e-9;

/**
 * Lower root R of a covariance of three, R Rᵀ = C, where some directions may have no spread at all.
 * Shape:   3 x 3 by rows -> 3 x 3 by rows
 * Method:  Cholesky; what rounding takes below nought is nought
 */
export function looseRoot(c: ArrayLike<number>): Float64Array {
  const root = new Float64Array(9);
  const least = NOUGHT * (c[0] + c[4] + c[8]);
  for (let j = 0; j < 3; j++) {
    let pivot = c[j * 4];
    for (let k = 0; k < j; k++) pivot -= root[j * 3 + k] ** 2;
    if (!(pivot > least)) continue;
    root[j * 4] = Math.sqrt(pivot);
    for (let i = j + 1; i < 3; i++) {
      let sum = c[i * 3 + j];
      for (let k = 0; k < j; k++) sum -= root[i * 3 + k] * root[j * 3 + k];
      root[i * 3 + j] = sum / root[j * 4];
    }
  }
  return root;
}

/**
 * `looseRoot` of what is a covariance.
 * Refuses: other than 9 finite numbers; what no root gives back, as a variance below 0 or something
 *          that moves with what does not move -> invalid-input
 */
export function covarianceRoot(c: ArrayLike<number>): Float64Array {
  const root = looseRoot(c);
  const whole = c[0] + c[4] + c[8];
  let sound = c.length === 9 && Number.isFinite(whole);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j <= i; j++) {
      let back = 0;
      for (let k = 0; k < 3; k++) back += root[i * 3 + k] * root[j * 3 + k];
      // A variance that counts as nought may go with the root of it times the others.
      const slack = (i === j ? 2 * NOUGHT : 2 * Math.sqrt(NOUGHT)) * whole;
      sound &&= Math.abs(back - c[i * 3 + j]) <= slack;
    }
  }
  if (!sound) throw invalidInput('The ± of a colour is no covariance.');
  return root;
}
