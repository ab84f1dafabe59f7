import type { Lab } from '../colour/triples.ts';

/**
 * Matrix that turns a small step of L, a, b at a colour into steps whose length is about dE00.
 * Shape:   [L, a, b] -> 9 numbers by rows: lightness, chroma and hue steps of dL, da, db
 * Holds:   the length of the step is dE00 except for the rotation term of blues and the stretch of
 *          a close to grey, to within a few per cent for steps of 1
 * Source:  [Sharma2005], weights SL, SC, SH and stretch at one colour
 */
export function localMetric(lab: Lab): Float64Array {
  const [l, a, b] = lab;
  const c = Math.hypot(a, b);
  const c7 = c ** 7;
  const stretch = 1.5 - 0.5 * Math.sqrt(c7 / (c7 + 25 ** 7));
  const ap = stretch * a;
  const cp = Math.hypot(ap, b);
  const from = (l - 50) ** 2;
  const sL = 1 + (0.015 * from) / Math.sqrt(20 + from);
  const sC = 1 + 0.045 * cp;
  const hue = Math.atan2(b, ap);
  const t =
    1 -
    0.17 * Math.cos(hue - Math.PI / 6) +
    0.24 * Math.cos(2 * hue) +
    0.32 * Math.cos(3 * hue + Math.PI / 30) -
    0.2 * Math.cos(4 * hue - (63 * Math.PI) / 180);
  const sH = 1 + 0.015 * cp * t;
  const cos = cp === 0 ? 1 : ap / cp;
  const sin = cp === 0 ? 0 : b / cp;
  return Float64Array.of(
    1 / sL,
    0,
    0,
    0,
    (stretch * cos) / sC,
    sin / sC,
    0,
    (-stretch * sin) / sH,
    cos / sH,
  );
}

/** Inverse of a metric: lightness is separate, the other two mix. */
export function metricInverse(m: Float64Array): Float64Array {
  const determinant = m[4] * m[8] - m[5] * m[7];
  return Float64Array.of(
    1 / m[0],
    0,
    0,
    0,
    m[8] / determinant,
    -m[5] / determinant,
    0,
    -m[7] / determinant,
    m[4] / determinant,
  );
}

/** About dE00 of a step of 1 in chroma. */
export function chromaStep(lab: Lab): number {
  const metric = localMetric(lab);
  return Math.hypot(metric[4], metric[5]);
}
