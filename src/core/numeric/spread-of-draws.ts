/**
 * Mean and covariance of drawn triples.
 * Shape:   3 numbers a draw, one draw after another -> 3 numbers; 3 x 3 by rows, 0 for a single draw
 */
export function spreadOfDraws(values: Float64Array): {
  readonly mean: readonly [number, number, number];
  readonly covariance: Float64Array;
} {
  const count = values.length / 3;
  const mean: [number, number, number] = [0, 0, 0];
  for (let n = 0; n < count; n++) {
    for (let k = 0; k < 3; k++) mean[k] += values[3 * n + k] / count;
  }
  const covariance = new Float64Array(9);
  for (let n = 0; n < count; n++) {
    for (let r = 0; r < 3; r++) {
      const off = values[3 * n + r] - mean[r];
      for (let c = 0; c < 3; c++) {
        covariance[r * 3 + c] += (off * (values[3 * n + c] - mean[c])) / Math.max(1, count - 1);
      }
    }
  }
  return { mean, covariance };
}
