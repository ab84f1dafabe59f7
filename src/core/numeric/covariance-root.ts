import { invalidInput } from '../errors.ts';

/**
 * Share of the whole variance below which a direction has no spread: rounding of sums of that size.
 */
const NO_VARIANCE = 1e-9;

/**
 * Lower root R of a covariance of three, R Rᵀ = C, where some directions may have no spread at all.
 * Shape:   3 x 3 by rows -> 3 x 3 by rows
 * Method:  Cholesky; values that rounding makes negative count as 0
 */
export function looseRoot(c: ArrayLike<number>): Float64Array {
  const root = new Float64Array(9);
  const least = NO_VARIANCE * (c[0] + c[4] + c[8]);
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
 * `looseRoot` of a covariance, with checks.
 * Refuses: anything but 9 finite numbers; a matrix that no root reproduces, for example with a
 *          variance below 0 or a covariance with a direction that has none -> invalid-input
 */
export function covarianceRoot(c: ArrayLike<number>): Float64Array {
  const root = looseRoot(c);
  const whole = c[0] + c[4] + c[8];
  let sound = c.length === 9 && Number.isFinite(whole);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j <= i; j++) {
      let back = 0;
      for (let k = 0; k < 3; k++) back += root[i * 3 + k] * root[j * 3 + k];
      // With a variance that counts as 0, the covariances may reach its root times the others.
      const slack = (i === j ? 2 * NO_VARIANCE : 2 * Math.sqrt(NO_VARIANCE)) * whole;
      sound &&= Math.abs(back - c[i * 3 + j]) <= slack;
    }
  }
  if (!sound) throw invalidInput('The ± of a colour is no covariance.');
  return root;
}
