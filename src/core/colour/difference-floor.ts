import { chromaStretch } from './difference.ts';
import type { Lab } from './triples.ts';

const POW25_7 = 6103515625;
const DEGREE = Math.PI / 180;
/** T of CIEDE2000 is never above 1 + 0.17 + 0.24 + 0.32 + 0.2. */
const MOST_T = 1.93;
/** Stretching a by up to 1.5 turns a hue by at most asin(0.5 / 2.5), which is 11.54 degrees. */
const MOST_SHIFT = 11.55;
/**
 * sin(2 dTheta) of CIEDE2000 at whole degrees between the mean hue and 275. It falls with the
 * distance, so the degree below is never too small.
 */
const TURN = Float64Array.from({ length: 182 }, (_, degrees) =>
  Math.sin(60 * DEGREE * Math.exp(-((degrees / 25) ** 2))),
);

/** A box around some colours: from, to along L, a and b; their hues are in mid ± half degrees. */
export interface ColourBox {
  readonly fromL: number;
  readonly toL: number;
  readonly fromA: number;
  readonly toA: number;
  readonly fromB: number;
  readonly toB: number;
  readonly hueMid: number;
  /** 180 where the box holds the grey axis. */
  readonly hueHalf: number;
}

/** Floors under the square of CIEDE2000 from one colour, cheaper than the difference itself. */
export interface DifferenceFloor {
  /** Of one other colour, with its hue atan2(b, a) in degrees. */
  ofColour(l: number, a: number, b: number, hue: number): number;
  /** Of every colour in a box. */
  ofBox(box: ColourBox): number;
}

/**
 * Square of CIEDE2000 from below, to drop colours that cannot be close without working them out.
 * CIEDE2000 is vL² + vC² + vH² + R vC vH with vL = dL / S_L, vC = dC' / S_C, vH = dH' / S_H, and
 * the floors rest on these facts: 1. |R vC vH| <= |R| (vC² + vH²) / 2, so the terms after vL² are
 * at least (1 - |R| / 2)(vC² + vH²). |R| is 2 sqrt(C⁷ / (C⁷ + 25⁷)) sin(2 dTheta): it grows with
 * the mean chroma C and falls with the distance of the mean hue from 275 degrees. The distance
 * around the circle is never longer than the one of the formula. 2. Both colours of a pair are
 * stretched along a by the same 1 + G, so dC'² + dH'² = (1 + G)² da² + db²: their chroma and hue
 * need not be separated. G falls with the mean chroma before stretching. 3. S_H = 1 + 0.015 C T <=
 * 1 + 0.015 * 1.93 C < 1 + 0.045 C = S_C, so vC² + vH² >= (dC'² + dH'²) / S_C²; for one colour,
 * where dC' is known, vC² + vH² >= dC'² / S_C² + dH'² / (1 + 0.029 C)². Both shrink as C grows. 4.
 * S_L grows with the distance of the mean lightness from 50. In a box each of these is taken at the
 * end that makes the floor smaller. Where a chroma is 0 the formula sets dH' = 0, and 1 to 4 still
 * hold. `deltaE2000Below` is sharper for a box and costs more; over a book of 100,000, where boxes
 * are small and many, these cheaper floors answered sooner (bench/nearest.ts: 0.19 against 0.35
 * ms).
 * Shape:   one [L, a, b] -> floors under the squared difference
 * Holds:   never above the square of `deltaE2000`, but for rounding (below 1e-9)
 * Source:  derived from [Sharma2005]; property tests in difference-floor.test.ts
 */
export function differenceFloor(from: Lab): DifferenceFloor {
  const [l1, a1, b1] = from;
  const chroma1 = Math.sqrt(a1 * a1 + b1 * b1);
  const hue1 = Math.atan2(b1, a1) / DEGREE;
  return {
    ofColour(l, a, b, hue) {
      const g = chromaStretch((chroma1 + Math.sqrt(a * a + b * b)) / 2);
      const ga = g * a;
      const ga1 = g * a1;
      const c = Math.sqrt(ga * ga + b * b);
      const c1 = Math.sqrt(ga1 * ga1 + b1 * b1);
      const meanC = (c + c1) / 2;
      const dC = (c - c1) / (1 + 0.045 * meanC);
      // 4 C1' C2' sin²(dh' / 2) without an angle.
      const dH2 = Math.max(0, 2 * (c * c1 - ga * ga1 - b * b1));
      const sH = 1 + 0.015 * MOST_T * meanC;
      const dL = (l - l1) / lightnessScale(Math.abs((l + l1) / 2 - 50));
      const left = leftByTurn(meanC, hue, 0);
      return dL * dL + left * (dC * dC + dH2 / (sH * sH));
    },
    ofBox({ fromL, toL, fromA, toA, fromB, toB, hueMid, hueHalf }) {
      const farA = Math.max(Math.abs(fromA), Math.abs(toA));
      const farB = Math.max(Math.abs(fromB), Math.abs(toB));
      const nearA = outside(0, fromA, toA);
      const nearB = outside(0, fromB, toB);
      const least = chromaStretch((chroma1 + Math.sqrt(farA * farA + farB * farB)) / 2);
      const most = chromaStretch((chroma1 + Math.sqrt(nearA * nearA + nearB * nearB)) / 2);
      const ga = most * farA;
      const ga1 = most * a1;
      const meanC = (Math.sqrt(ga * ga + farB * farB) + Math.sqrt(ga1 * ga1 + b1 * b1)) / 2;
      const dA = least * outside(a1, fromA, toA);
      const dB = outside(b1, fromB, toB);
      const sC = 1 + 0.045 * meanC;
      const fromMid = Math.max(Math.abs((fromL + l1) / 2 - 50), Math.abs((toL + l1) / 2 - 50));
      const dL = outside(l1, fromL, toL) / lightnessScale(fromMid);
      const left = leftByTurn(meanC, hueMid, hueHalf);
      return dL * dL + (left * (dA * dA + dB * dB)) / (sC * sC);
    },
  };

  /** Least 1 - |R| / 2, for mean chroma up to `meanC` and the other hue in mid ± half. */
  function leftByTurn(meanC: number, hueMid: number, hueHalf: number): number {
    let apart = hueMid - hue1;
    if (apart > 180) apart -= 360;
    else if (apart < -180) apart += 360;
    // The mean is on the shorter arc: half way, or on either side where either arc may be the
    // shorter.
    const open = chroma1 === 0 || Math.abs(apart) + hueHalf + 2 * MOST_SHIFT >= 180;
    const mid = open ? hue1 : hue1 + apart / 2;
    const half = chroma1 === 0 ? 180 : open ? 90 + MOST_SHIFT : hueHalf / 2 + MOST_SHIFT;
    const distance = Math.max(0, aroundTo275(mid) - half);
    const c2 = meanC * meanC;
    const c7 = c2 * c2 * c2 * meanC;
    return 1 - Math.sqrt(c7 / (c7 + POW25_7)) * TURN[Math.floor(distance)];
  }
}

/** Range of hues of a rectangle in a and b, degrees. */
export function hueSpan(
  box: Pick<ColourBox, 'fromA' | 'toA' | 'fromB' | 'toB'>,
): Pick<ColourBox, 'hueMid' | 'hueHalf'> {
  const { fromA, toA, fromB, toB } = box;
  if (fromA <= 0 && toA >= 0 && fromB <= 0 && toB >= 0) return { hueMid: 0, hueHalf: 180 };
  // When grey is outside it, a rectangle spans less than half a turn, and its corners are the ends.
  const hueMid = Math.atan2((fromB + toB) / 2, (fromA + toA) / 2) / DEGREE;
  let hueHalf = 0;
  for (const a of [fromA, toA]) {
    for (const b of [fromB, toB]) {
      const apart = Math.abs(Math.atan2(b, a) / DEGREE - hueMid);
      hueHalf = Math.max(hueHalf, apart > 180 ? 360 - apart : apart);
    }
  }
  return { hueMid, hueHalf };
}

/** Distance of a value from an interval; 0 inside. */
function outside(value: number, from: number, to: number): number {
  return value < from ? from - value : value > to ? value - to : 0;
}

function lightnessScale(fromMid: number): number {
  return 1 + (0.015 * fromMid * fromMid) / Math.sqrt(20 + fromMid * fromMid);
}

/** Degrees from 275 around the circle, 0-180. */
function aroundTo275(hue: number): number {
  let apart = Math.abs(hue - 275) % 360;
  if (apart > 180) apart = 360 - apart;
  return apart;
}
