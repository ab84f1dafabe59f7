import { invalidInput } from '../errors.ts';
import { BANDS } from './grid.ts';
import type { Lab, Lch, Xyz } from './triples.ts';
import type { ColourWeights } from './weights.ts';

/** (6/29)^3 and (29/3)^3 of CIE 15:2018, section 8.2.1, as whole fractions. */
const EPSILON = 216 / 24389;
const KAPPA = 24389 / 27;

/**
 * Colour of a reflectance.
 * Shape:   36 bands -> [X, Y, Z]
 * Units:   reflectance 0-1; Y of the perfect diffuser = 1
 * Refuses: another number of bands -> invalid-input
 * Source:  [E308]; the weights are those of `colourWeights`
 */
export function xyzFromSpectrum(reflectance: Float64Array, weights: ColourWeights): Xyz {
  if (reflectance.length !== BANDS) {
    throw invalidInput(
      `A spectrum of ${reflectance.length} bands was given; the grid has ${BANDS}.`,
    );
  }
  const out = new Float64Array(3);
  xyzInto(out, reflectance, weights);
  return [out[0], out[1], out[2]];
}

/** `xyzFromSpectrum` for loops: writes X, Y, Z to out[0..2], allocates nothing, checks nothing. */
export function xyzInto(
  out: Float64Array,
  reflectance: Float64Array,
  weights: ColourWeights,
): void {
  const wx = weights.x;
  const wy = weights.y;
  const wz = weights.z;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = 0; i < BANDS; i++) {
    const r = reflectance[i];
    x += wx[i] * r;
    y += wy[i] * r;
    z += wz[i] * r;
  }
  out[0] = x;
  out[1] = y;
  out[2] = z;
}

/** CIELAB of a reflectance under the light of the weights, against that light's own white. */
export function labFromSpectrum(reflectance: Float64Array, weights: ColourWeights): Lab {
  return labFromXyz(xyzFromSpectrum(reflectance, weights), weights.white);
}

/** `labFromSpectrum` for loops: writes L, a, b to out[0..2], allocates nothing, checks nothing. */
export function labFromSpectrumInto(
  out: Float64Array,
  reflectance: Float64Array,
  weights: ColourWeights,
): void {
  xyzInto(out, reflectance, weights);
  labInto(out, out[0], out[1], out[2], weights.white);
}

/**
 * CIELAB of a colour against a white.
 * Shape:   [X, Y, Z], white [X, Y, Z] -> [L, a, b]
 * Units:   both XYZ on one scale; L 0-100
 * Holds:   white gives [100, 0, 0], black [0, 0, 0]; below (6/29)^3 the straight line of CIE 15,
 *          which also carries XYZ a little under zero
 * Source:  [CIE15] section 8.2.1; oracle test/oracles/colour/css-color4-conversions.csv
 */
export function labFromXyz(xyz: Xyz, white: Xyz): Lab {
  const fx = labRoot(xyz[0] / white[0]);
  const fy = labRoot(xyz[1] / white[1]);
  const fz = labRoot(xyz[2] / white[2]);
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

/** `labFromXyz` for loops: writes L, a, b to out[0..2] and allocates nothing. */
export function labInto(out: Float64Array, x: number, y: number, z: number, white: Xyz): void {
  const fx = labRoot(x / white[0]);
  const fy = labRoot(y / white[1]);
  const fz = labRoot(z / white[2]);
  out[0] = 116 * fy - 16;
  out[1] = 500 * (fx - fy);
  out[2] = 200 * (fy - fz);
}

/** The inverse of `labFromXyz`. */
export function xyzFromLab(lab: Lab, white: Xyz): Xyz {
  const fy = (lab[0] + 16) / 116;
  return [
    white[0] * labCube(fy + lab[1] / 500),
    white[1] * labCube(fy),
    white[2] * labCube(fy - lab[2] / 200),
  ];
}

/**
 * Slopes of L, a, b with X, Y, Z.
 * Shape:   [X, Y, Z], white -> 9 numbers by rows: dL/dX dL/dY dL/dZ, da/dX …, db/dZ
 * Units:   CIELAB units per unit of XYZ
 * Holds:   the slope jumps nowhere: the cube root and the line of CIE 15 meet tangentially
 * Source:  derivative of [CIE15] section 8.2.1
 */
export function labJacobian(xyz: Xyz, white: Xyz, out = new Float64Array(9)): Float64Array {
  const dx = labRootSlope(xyz[0] / white[0]) / white[0];
  const dy = labRootSlope(xyz[1] / white[1]) / white[1];
  const dz = labRootSlope(xyz[2] / white[2]) / white[2];
  out[0] = 0;
  out[1] = 116 * dy;
  out[2] = 0;
  out[3] = 500 * dx;
  out[4] = -500 * dy;
  out[5] = 0;
  out[6] = 0;
  out[7] = 200 * dy;
  out[8] = -200 * dz;
  return out;
}

/** Polar form of a*, b*. Holds: the hue is from 0 up to but not at 360, and 0 for a grey. */
export function lchFromLab(lab: Lab): Lch {
  const chroma = Math.hypot(lab[1], lab[2]);
  const degrees = (Math.atan2(lab[2], lab[1]) * 180) / Math.PI;
  // Just below the red axis, adding 360 rounds up to 360 itself.
  const hue = degrees < 0 ? (degrees + 360) % 360 : degrees;
  return [lab[0], chroma, chroma === 0 ? 0 : hue];
}

/** The inverse of `lchFromLab`; the hue may be any number of turns. */
export function labFromLch(lch: Lch): Lab {
  const radians = (lch[2] * Math.PI) / 180;
  return [lch[0], lch[1] * Math.cos(radians), lch[1] * Math.sin(radians)];
}

function labRoot(t: number): number {
  return t > EPSILON ? Math.cbrt(t) : (KAPPA * t + 16) / 116;
}

function labRootSlope(t: number): number {
  if (t <= EPSILON) return KAPPA / 116;
  const root = Math.cbrt(t);
  return 1 / (3 * root * root);
}

function labCube(f: number): number {
  return f > 6 / 29 ? f * f * f : (116 * f - 16) / KAPPA;
}
