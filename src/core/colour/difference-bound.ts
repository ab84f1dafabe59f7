import { chromaStretch, type Factors } from './difference.ts';

const DEGREE = Math.PI / 180;
const POW25_7 = 6103515625;
/** No T of CIEDE2000 is larger: 1 + 0.17 + 0.24 + 0.32 + 0.20. */
const MOST_T = 1.93;
/** No slope of T is steeper, per radian: 0.17 + 2 x 0.24 + 3 x 0.32 + 4 x 0.20. */
const STEEPEST_T = 2.41;
/** 275 degrees, where R_T is strongest, and a turn either way. */
const BLUES = [-85, 275, 635] as const;
/** What rounding may have added along the way, as a share. */
const ROUNDING = 1e-12;

/** A box in CIELAB: least and most of L, a and b. */
export type LabBox = readonly [number, number, number, number, number, number];

/**
 * A lower bound of CIEDE2000 between a colour and all colours of a box.
 * Shape:   L, a, b of the colour; box as L from, L to, a from, a to, b from, b to -> dE00
 * Method:  every term of the formula over the box's ranges: differences at their least, the
 *          divisors S_L, S_C, S_H at their most. Da'^2 + Db'^2 is DC'^2 + DH'^2, and S_H is never
 *          above S_C, so as much as possible counts as chroma. R_T is never above 0: it counts only
 *          where chroma and hue may move the same way, at its strongest for the hues that can occur
 * Holds:   at most the distance of every colour in the box; equal to it, to a few per cent, as the
 *          box shrinks
 * Source:  terms of [Sharma2005] bounded here; `difference-bound.test.ts` tries it on random boxes
 */
export function deltaE2000Below(
  l1: number,
  a1: number,
  b1: number,
  box: LabBox,
  [kL, kC, kH]: Factors = [1, 1, 1],
): number {
  const [l2Lo, l2Hi, a2Lo, a2Hi, b2Lo, b2Hi] = box;
  const midLo = (l1 + l2Lo) / 2 - 50;
  const midHi = (l1 + l2Hi) / 2 - 50;
  const mid2 = Math.max(midLo * midLo, midHi * midHi);
  const vL = gap(l1, l2Lo, l2Hi) / (kL * (1 + (0.015 * mid2) / Math.sqrt(20 + mid2)));

  const c1 = Math.hypot(a1, b1);
  const nearA = gap(0, a2Lo, a2Hi);
  const nearB = gap(0, b2Lo, b2Hi);
  const farA = Math.max(Math.abs(a2Lo), Math.abs(a2Hi));
  const farB = Math.max(Math.abs(b2Lo), Math.abs(b2Hi));
  const stretchHi = chromaStretch((c1 + Math.hypot(nearA, nearB)) / 2);
  const stretchLo = chromaStretch((c1 + Math.hypot(farA, farB)) / 2);
  const c1Lo = Math.hypot(stretchLo * a1, b1);
  const c1Hi = Math.hypot(stretchHi * a1, b1);
  const c2Lo = Math.hypot(stretchLo * nearA, nearB);
  const c2Hi = Math.hypot(stretchHi * farA, farB);
  const meanLo = (c1Lo + c2Lo) / 2;
  const meanHi = (c1Hi + c2Hi) / 2;

  // dC' between dCLo and dCHi; Da'^2 + Db'^2 between apart2 and mostApart2.
  const dCLo = c2Lo - c1Hi;
  const dCHi = c2Hi - c1Lo;
  const leastC = dCLo > 0 ? dCLo : dCHi < 0 ? -dCHi : 0;
  const mostC = Math.max(-dCLo, dCHi);
  const dA = stretchLo * gap(a1, a2Lo, a2Hi);
  const dB = gap(b1, b2Lo, b2Hi);
  const apart2 = Math.max(dA * dA + dB * dB, leastC * leastC);

  const hues = meanHues(stretchLo, stretchHi, a1, b1, box);
  const t = hues === undefined ? MOST_T : mostT(hues.from, hues.to);
  const sC = kC * (1 + 0.045 * meanHi);
  const sH = kH * (1 + 0.015 * meanHi * t);
  // The term with the larger divisor takes as much of the difference as it can.
  const asChroma = sC >= sH ? Math.min(apart2, mostC * mostC) : leastC * leastC;
  const plain = asChroma / (sC * sC) + (apart2 - asChroma) / (sH * sH);

  const mayAgree = hues === undefined || (hues.dLo < 0 && dCLo < 0) || (hues.dHi > 0 && dCHi > 0);
  const twist = mayAgree ? mostTwist(meanHi, hues) : 0;
  let across = plain;
  const opposed = hues !== undefined && ((hues.dHi < 0 && dCLo > 0) || (hues.dLo > 0 && dCHi < 0));
  if (opposed) {
    const leastH = Math.sqrt(Math.max(0, apart2 - mostC * mostC));
    across += leastTwist(meanLo, hues) * (leastC / sC) * (leastH / sH);
  } else if (twist > 0) {
    const mostA = stretchHi * Math.max(Math.abs(a2Lo - a1), Math.abs(a2Hi - a1));
    const mostB = Math.max(Math.abs(b2Lo - b1), Math.abs(b2Hi - b1));
    const leastH = Math.sqrt(Math.max(0, apart2 - mostC * mostC));
    const mostH = Math.sqrt(Math.max(0, mostA * mostA + mostB * mostB - leastC * leastC));
    const leastT = hues === undefined ? 0 : Math.max(0, 2 * middleT(hues.from, hues.to) - t);
    const twisted = leastTwisted(
      twist,
      leastC / sC,
      mostC / (kC * (1 + 0.045 * meanLo)),
      leastH / sH,
      mostH / (kH * (1 + 0.015 * meanLo * leastT)),
    );
    across = Math.max((1 - twist / 2) * plain, twisted);
  }
  return Math.sqrt(vL * vL + across) * (1 - ROUNDING);
}

/** Distance of a value from a range; 0 inside. */
function gap(value: number, from: number, to: number): number {
  return value < from ? from - value : value > to ? value - to : 0;
}

interface HueRange {
  /** Mean hue, degrees; beyond 0-360 where the range passes 0. */
  readonly from: number;
  readonly to: number;
  /** Hue difference, degrees. */
  readonly dLo: number;
  readonly dHi: number;
}

/** Hues between the colour and those of the box; undefined where a grey or an opposite may occur. */
function meanHues(
  stretchLo: number,
  stretchHi: number,
  a1: number,
  b1: number,
  [, , a2Lo, a2Hi, b2Lo, b2Hi]: LabBox,
): HueRange | undefined {
  if (a1 === 0 && b1 === 0) return undefined;
  if (a2Lo <= 0 && a2Hi >= 0 && b2Lo <= 0 && b2Hi >= 0) return undefined;
  const h1 = Math.atan2(b1, stretchLo * a1) / DEGREE;
  const other = turned(Math.atan2(b1, stretchHi * a1) / DEGREE - h1);
  const [own1, own2] = other < 0 ? [other, 0] : [0, other];
  // Corners with both stretches: the box's hues lie between theirs, since it holds no grey.
  const centre = Math.atan2((b2Lo + b2Hi) / 2, (stretchLo * (a2Lo + a2Hi)) / 2) / DEGREE;
  let from = 0;
  let to = 0;
  for (const s of [stretchLo, stretchHi]) {
    for (const a of [a2Lo, a2Hi]) {
      for (const b of [b2Lo, b2Hi]) {
        const d = turned(Math.atan2(b, s * a) / DEGREE - centre);
        from = Math.min(from, d);
        to = Math.max(to, d);
      }
    }
  }
  const apart = turned(centre - h1);
  const dLo = apart + from - own2;
  const dHi = apart + to - own1;
  if (dLo <= -179.9 || dHi >= 179.9) return undefined;
  return { from: h1 + own1 + dLo / 2, to: h1 + own2 + dHi / 2, dLo, dHi };
}

/** An angle as -180 to 180. */
function turned(degrees: number): number {
  return degrees > 180 ? degrees - 360 : degrees < -180 ? degrees + 360 : degrees;
}

function mostT(from: number, to: number): number {
  return Math.min(
    MOST_T,
    middleT(from, to) + STEEPEST_T * ((Math.abs(to - from) / 2) * DEGREE) + 1e-9,
  );
}

function middleT(from: number, to: number): number {
  const h = (from + to) / 2;
  return (
    1 -
    0.17 * Math.cos((h - 30) * DEGREE) +
    0.24 * Math.cos(2 * h * DEGREE) +
    0.32 * Math.cos((3 * h + 6) * DEGREE) -
    0.2 * Math.cos((4 * h - 63) * DEGREE)
  );
}

/** Largest -R_T. */
function mostTwist(meanC: number, hues: HueRange | undefined): number {
  const c7 = meanC ** 7;
  const strength = 2 * Math.sqrt(c7 / (c7 + POW25_7));
  if (hues === undefined) return strength * Math.sin(60 * DEGREE);
  let nearest = 360;
  for (const blue of BLUES) nearest = Math.min(nearest, gap(blue, hues.from, hues.to));
  return strength * Math.sin(60 * Math.exp(-((nearest / 25) ** 2)) * DEGREE);
}

/** Least -R_T. */
function leastTwist(meanC: number, hues: HueRange): number {
  const c7 = meanC ** 7;
  // The formula counts from 275 without wrapping: hues past 0 and 360 hardly reach its blues.
  const from = ((hues.from % 360) + 360) % 360;
  const to = from + hues.to - hues.from;
  if (to > 359.9) return 0;
  const farthest = Math.max(Math.abs(from - 275), Math.abs(to - 275));
  const turn = 60 * Math.exp(-((farthest / 25) ** 2));
  return 2 * Math.sqrt(c7 / (c7 + POW25_7)) * Math.sin(turn * DEGREE);
}

/** Least of x^2 + y^2 - p x y over x from x1 to x2 and y from y1 to y2, all 0 up and p under 2. */
function leastTwisted(p: number, x1: number, x2: number, y1: number, y2: number): number {
  const along = (x: number) => {
    const y = Math.min(y2, Math.max(y1, (p * x) / 2));
    return x * x + y * y - p * x * y;
  };
  const across = (y: number) => {
    const x = Math.min(x2, Math.max(x1, (p * y) / 2));
    return x * x + y * y - p * x * y;
  };
  if (x1 === 0 && y1 === 0) return 0;
  // Convex, and least at the origin: the least over the box is on its two sides closest to the
  // origin.
  return Math.min(along(x1), across(y1));
}
