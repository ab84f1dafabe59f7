import type { Lab } from './triples.ts';

const DEGREE = Math.PI / 180;
const POW25_7 = 6103515625;

/** CIELAB distance of 1976: the plain distance of two points. */
export function deltaE76(one: Lab, other: Lab): number {
  return Math.hypot(one[0] - other[0], one[1] - other[1], one[2] - other[2]);
}

/**
 * Colour difference CIEDE2000 with kL = kC = kH = 1.
 * Shape:   two [L, a, b] -> one number, 0 up
 * Units:   CIELAB of both under the same light; no other colour space, no adaptation inside
 * Holds:   symmetric; 0 only for equal colours. Not a metric, and it jumps where two hues lie
 *          180 degrees apart: report and rank by it, descend on something smooth
 * Source:  [Sharma2005]; oracle test/oracles/colour/ciede2000-sharma2005.csv, within 0.00005
 */
export function deltaE2000(one: Lab, other: Lab): number {
  return deltaE2000At(one[0], one[1], one[2], other[0], other[1], other[2]);
}

/**
 * Parametric factors kL, kC, kH of CIEDE2000: divisors of the differences in lightness, chroma and
 * hue. 1 under reference conditions; 2 for a difference that counts for half [Sharma2005].
 */
export type Factors = readonly [number, number, number];

/** `deltaE2000` for loops: six numbers and the factors, nothing allocated. */
export function deltaE2000At(
  l1: number,
  a1: number,
  b1: number,
  l2: number,
  a2: number,
  b2: number,
  kL = 1,
  kC = 1,
  kH = 1,
): number {
  const meanC = (Math.sqrt(a1 * a1 + b1 * b1) + Math.sqrt(a2 * a2 + b2 * b2)) / 2;
  const stretch = chromaStretch(meanC);
  const ap1 = stretch * a1;
  const ap2 = stretch * a2;
  const cp1 = Math.sqrt(ap1 * ap1 + b1 * b1);
  const cp2 = Math.sqrt(ap2 * ap2 + b2 * b2);
  const dL = l2 - l1;
  const dC = cp2 - cp1;
  const meanCp = (cp1 + cp2) / 2;

  // Degrees throughout: in radians pi rounds, and pairs exactly opposite fall on the wrong side.
  let dh = 0;
  let meanHue: number;
  if (cp1 === 0 || cp2 === 0) {
    meanHue = hueDegrees(ap1, b1) + hueDegrees(ap2, b2);
  } else {
    const h1 = hueDegrees(ap1, b1);
    const h2 = hueDegrees(ap2, b2);
    dh = h2 - h1;
    meanHue = (h1 + h2) / 2;
    if (dh > 180) {
      dh -= 360;
      meanHue += meanHue < 180 ? 180 : -180;
    } else if (dh < -180) {
      dh += 360;
      meanHue += meanHue < 180 ? 180 : -180;
    }
  }
  const dH = 2 * Math.sqrt(cp1 * cp2) * Math.sin((dh / 2) * DEGREE);

  const t =
    1 -
    0.17 * Math.cos((meanHue - 30) * DEGREE) +
    0.24 * Math.cos(2 * meanHue * DEGREE) +
    0.32 * Math.cos((3 * meanHue + 6) * DEGREE) -
    0.2 * Math.cos((4 * meanHue - 63) * DEGREE);
  const fromMid = (l1 + l2) / 2 - 50;
  const sL = 1 + (0.015 * fromMid * fromMid) / Math.sqrt(20 + fromMid * fromMid);
  const sC = 1 + 0.045 * meanCp;
  const sH = 1 + 0.015 * meanCp * t;
  const blue = (meanHue - 275) / 25;
  const turn = 60 * Math.exp(-blue * blue);
  const cp7 = pow7(meanCp);
  const rT = -2 * Math.sqrt(cp7 / (cp7 + POW25_7)) * Math.sin(turn * DEGREE);

  const vL = dL / (kL * sL);
  const vC = dC / (kC * sC);
  const vH = dH / (kH * sH);
  return Math.sqrt(Math.max(0, vL * vL + vC * vC + vH * vH + rT * vC * vH));
}

/** 1 + G, by which a is stretched: 1.5 for greys, 1 for strong colours. [Sharma2005] equation 4. */
export function chromaStretch(meanC: number): number {
  const c7 = pow7(meanC);
  return 1.5 - 0.5 * Math.sqrt(c7 / (c7 + POW25_7));
}

function hueDegrees(a: number, b: number): number {
  const degrees = Math.atan2(b, a) / DEGREE;
  return degrees < 0 ? degrees + 360 : degrees;
}

function pow7(v: number): number {
  const v2 = v * v;
  return v2 * v2 * v2 * v;
}
