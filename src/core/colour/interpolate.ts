/** Value of a table at a place inside it. The caller refuses places outside. */
export type TableReader = (x: number) => number;

/** Two points beyond each end from the six nearest it, over 209: CIE 167:2005, table V. */
const BOUNDARY = [
  [884, -1960, 3033, -2648, 1080, -180],
  [508, -540, 488, -367, 144, -24],
];

/**
 * Quintic interpolation of Sprague in a table of equal steps.
 * Shape:   n >= 6 places, n values
 * Holds:   through every value; first and second derivative without a jump; exact for quartics,
 *          in the outer two steps of each end for straight lines only
 * Source:  [CIE167] equations 3-6 and boundary coefficients; [Sprague1880]
 */
export function spragueQuintic(x: readonly number[], y: readonly number[]): TableReader {
  const n = y.length;
  const before = BOUNDARY.map((row) => row.reduce((sum, c, i) => sum + c * y[i], 0) / 209);
  const after = BOUNDARY.map((row) => row.reduce((sum, c, i) => sum + c * y[n - 1 - i], 0) / 209);
  const r = [...before, ...y, after[1], after[0]];
  const step = (x[n - 1] - x[0]) / (n - 1);
  return (place) => {
    const along = (place - x[0]) / step;
    const i = Math.min(Math.max(Math.floor(along), 0), n - 2);
    const t = along - i;
    const [a, b, c, d, e, f] = r.slice(i, i + 6);
    const a1 = (2 * a - 16 * b + 16 * d - 2 * e) / 24;
    const a2 = (-a + 16 * b - 30 * c + 16 * d - e) / 24;
    const a3 = (-9 * a + 39 * b - 70 * c + 66 * d - 33 * e + 7 * f) / 24;
    const a4 = (13 * a - 64 * b + 126 * c - 124 * d + 61 * e - 12 * f) / 24;
    const a5 = (-5 * a + 25 * b - 50 * c + 50 * d - 25 * e + 5 * f) / 24;
    return c + t * (a1 + t * (a2 + t * (a3 + t * (a4 + t * a5))));
  };
}

/**
 * Cubic spline in a table of any steps; at both ends the outer two pieces are one cubic.
 * Shape:   n >= 4 places, strictly rising, n values
 * Holds:   through every value; exact for cubics
 * Source:  [deBoor1978] chapter IV, not-a-knot condition
 */
export function notAKnotSpline(x: readonly number[], y: readonly number[]): TableReader {
  const n = x.length;
  const h = Array.from({ length: n - 1 }, (_, i) => x[i + 1] - x[i]);
  const slope = h.map((step, i) => (y[i + 1] - y[i]) / step);
  // Unknown: second derivatives m. Equal third derivatives over the second and last but one place
  // give m[0] and m[n-1] from their neighbours, which leaves a tridiagonal system inside.
  const low = new Float64Array(n);
  const mid = new Float64Array(n);
  const high = new Float64Array(n);
  const right = new Float64Array(n);
  for (let i = 1; i < n - 1; i++) {
    low[i] = h[i - 1];
    mid[i] = 2 * (h[i - 1] + h[i]);
    high[i] = h[i];
    right[i] = 6 * (slope[i] - slope[i - 1]);
  }
  const atStart = h[0] / h[1];
  mid[1] += h[0] * (1 + atStart);
  high[1] -= h[0] * atStart;
  const atEnd = h[n - 2] / h[n - 3];
  mid[n - 2] += h[n - 2] * (1 + atEnd);
  low[n - 2] -= h[n - 2] * atEnd;
  for (let i = 2; i < n - 1; i++) {
    const factor = low[i] / mid[i - 1];
    mid[i] -= factor * high[i - 1];
    right[i] -= factor * right[i - 1];
  }
  const m = new Float64Array(n);
  for (let i = n - 2; i >= 1; i--) {
    m[i] = (right[i] - (i === n - 2 ? 0 : high[i] * m[i + 1])) / mid[i];
  }
  m[0] = m[1] + atStart * (m[1] - m[2]);
  m[n - 1] = m[n - 2] + atEnd * (m[n - 2] - m[n - 3]);
  return (place) => {
    let i = 0;
    while (i < n - 2 && place > x[i + 1]) i++;
    const t = place - x[i];
    const third = (m[i + 1] - m[i]) / h[i];
    const first = slope[i] - (h[i] * (2 * m[i] + m[i + 1])) / 6;
    return y[i] + t * (first + t * (m[i] / 2 + (t * third) / 6));
  };
}
