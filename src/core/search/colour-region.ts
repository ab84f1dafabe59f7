import type { Factors } from '../colour/difference.ts';
import { deltaE2000Below, type LabBox } from '../colour/difference-bound.ts';
import { labJacobian, xyzFromLab } from '../colour/spaces.ts';
import type { Lab, Xyz } from '../colour/triples.ts';

/** A direction in XYZ along which colours are compared: a sum of coefficient x coordinate. */
export type Direction = readonly [number, number, number];

/** Least and most of each direction over a region of colours, in the order of the directions. */
export interface Supports {
  readonly least: Float64Array;
  readonly most: Float64Array;
}

const SIN_60 = Math.sqrt(3) / 2;

/**
 * Directions in which a colour can be proven too far from an aim: lightness, six sides across it,
 * and lightness leaning to each. Steps along them are about CIELAB units close to the aim.
 */
export function directionsAt(aim: Lab, white: Xyz): Direction[] {
  const j = labJacobian(xyzFromLab(aim, white), white);
  const of = (l: number, a: number, b: number): Direction => [
    l * j[0] + a * j[3] + b * j[6],
    l * j[1] + a * j[4] + b * j[7],
    l * j[2] + a * j[5] + b * j[8],
  ];
  return [
    of(1, 0, 0),
    of(0, 1, 0),
    of(0, 0, 1),
    of(0, 0.5, SIN_60),
    of(0, 0.5, -SIN_60),
    of(0.7, 0.7, 0),
    of(0.7, -0.7, 0),
    of(0.7, 0, 0.7),
    of(0.7, 0, -0.7),
  ];
}

/**
 * The direction in which colours similar to `other` come closer to the aim fastest, or nearly so:
 * chroma and hue weigh as in CIEDE2000.
 */
export function directionFrom(aim: Lab, other: Lab, white: Xyz): Direction {
  const chroma = (Math.hypot(aim[1], aim[2]) + Math.hypot(other[1], other[2])) / 2;
  const hue = Math.atan2(aim[2] + other[2], aim[1] + other[1]);
  const [cos, sin] = [Math.cos(hue), Math.sin(hue)];
  const [l, a, b] = [other[0] - aim[0], other[1] - aim[1], other[2] - aim[2]];
  const away = (a * cos + b * sin) / (1 + 0.045 * chroma) ** 2;
  const aside = (b * cos - a * sin) / (1 + 0.015 * chroma) ** 2;
  const way = [l, away * cos - aside * sin, away * sin + aside * cos];
  const length = Math.hypot(...way) || 1;
  const j = labJacobian(xyzFromLab(other, white), white);
  const of = (k: number) => (way[0] * j[k] + way[1] * j[3 + k] + way[2] * j[6 + k]) / length;
  return [of(0), of(1), of(2)];
}

/**
 * How far the colours within a distance of an aim extend along directions in XYZ.
 * Shape:   aim, its white, directions, radius -> least and most by direction
 * Units:   CIELAB and XYZ under the aim's light; radius dE00; `shift` is a box that may still be
 *          added to a colour, as the departure of a pearl clay is
 * Method:  CIELAB is cut into boxes; those that `deltaE2000Below` proves too far are dropped, and
 *          the rest, down to boxes a third of the radius wide, is carried over to XYZ whole
 * Holds:   every colour within the radius of the aim, after some of the shift is added, is inside
 *          the supports
 */
export function regionSupports(
  aim: Lab,
  white: Xyz,
  directions: readonly Direction[],
  radius: number,
  shift: LabBox = [0, 0, 0, 0, 0, 0],
  factors: Factors = [1, 1, 1],
): Supports {
  const least = new Float64Array(directions.length).fill(Number.POSITIVE_INFINITY);
  const most = new Float64Array(directions.length).fill(Number.NEGATIVE_INFINITY);
  const chroma = Math.hypot(aim[1], aim[2]);
  const fine = Math.max(radius, 0.02) / 3;
  const fineAcross = fine * (1 + 0.025 * chroma);
  const limits = [fine, fineAcross, fineAcross];
  const low = new Float64Array(directions.length);
  const high = new Float64Array(directions.length);
  const stack: number[][] = [widestBox(shift)];
  for (let box = stack.pop(); box !== undefined; box = stack.pop()) {
    // A box inside the supports so far cannot move them, whatever its distance.
    extentOf(low, high, directions, white, box, shift);
    let sticksOut = false;
    for (let d = 0; d < directions.length && !sticksOut; d++) {
      sticksOut = low[d] < least[d] || high[d] > most[d];
    }
    if (!sticksOut) continue;
    if (deltaE2000Below(aim[0], aim[1], aim[2], box as unknown as LabBox, factors) > radius)
      continue;
    let axis = 0;
    let excess = 0;
    for (let k = 0; k < 3; k++) {
      const over = (box[2 * k + 1] - box[2 * k]) / limits[k];
      if (over > excess) [axis, excess] = [k, over];
    }
    if (excess > 1) {
      const middle = (box[2 * axis] + box[2 * axis + 1]) / 2;
      const upper = [...box];
      upper[2 * axis] = middle;
      box[2 * axis + 1] = middle;
      stack.push(box, upper);
    } else {
      for (let d = 0; d < directions.length; d++) {
        if (low[d] < least[d]) least[d] = low[d];
        if (high[d] > most[d]) most[d] = high[d];
      }
    }
  }
  return { least, most };
}

/** All CIELAB colours between black and white, with some margin. */
function widestBox(shift: LabBox): number[] {
  return [-2, 102, -450, 450, -190, 190].map((v, k) => v + shift[k]);
}

/** Least and most of each direction over a box of colours, less the shift. */
function extentOf(
  least: Float64Array,
  most: Float64Array,
  directions: readonly Direction[],
  white: Xyz,
  box: readonly number[],
  shift: LabBox,
): void {
  const fyLo = (box[0] - shift[1] + 16) / 116;
  const fyHi = (box[1] - shift[0] + 16) / 116;
  const aLo = (box[2] - shift[3]) / 500;
  const aHi = (box[3] - shift[2]) / 500;
  const bLo = (box[4] - shift[5]) / 200;
  const bHi = (box[5] - shift[4]) / 200;
  const fy = (fyLo + fyHi) / 2;
  const half = (fyHi - fyLo) / 2;
  const y = cube(fy);
  const [xLo, xHi] = [cube(fy + aLo), cube(fy + aHi)];
  const [zLo, zHi] = [cube(fy - bHi), cube(fy - bLo)];
  // Slopes with lightness while a and b stay fixed: ranges over the box.
  const [sx0, sx1] = [cubeSlope(fyLo + aLo), cubeSlope(fyHi + aHi)];
  const [sy0, sy1] = [cubeSlope(fyLo), cubeSlope(fyHi)];
  const [sz0, sz1] = [cubeSlope(fyLo - bHi), cubeSlope(fyHi - bLo)];
  for (let d = 0; d < directions.length; d++) {
    const cx = directions[d][0] * white[0];
    const cy = directions[d][1] * white[1];
    const cz = directions[d][2] * white[2];
    const low = (cx > 0 ? cx * xLo : cx * xHi) + cy * y + (cz > 0 ? cz * zLo : cz * zHi);
    const high = (cx > 0 ? cx * xHi : cx * xLo) + cy * y + (cz > 0 ? cz * zHi : cz * zLo);
    const slopeLo =
      (cx > 0 ? cx * sx0 : cx * sx1) +
      (cy > 0 ? cy * sy0 : cy * sy1) +
      (cz > 0 ? cz * sz0 : cz * sz1);
    const slopeHi =
      (cx > 0 ? cx * sx1 : cx * sx0) +
      (cy > 0 ? cy * sy1 : cy * sy0) +
      (cz > 0 ? cz * sz1 : cz * sz0);
    const extent = half * Math.max(Math.abs(slopeLo), Math.abs(slopeHi));
    least[d] = low - extent;
    most[d] = high + extent;
  }
}

function cube(f: number): number {
  return f > 6 / 29 ? f * f * f : ((116 * f - 16) * 27) / 24389;
}

/** Never falls as f rises. */
function cubeSlope(f: number): number {
  return f > 6 / 29 ? 3 * f * f : (116 * 27) / 24389;
}
