import { inverse, type Matrix, times } from './matrix.ts';
import { labFromXyz, xyzFromLab } from './spaces.ts';
import type { Lab, Xyz } from './triples.ts';

/** A space in which screens are given colours. */
export interface ScreenSpace {
  /** CIELAB, D50 and 2 degree, of its three numbers, 0-1 and gamma-encoded. */
  toLab(rgb: Three): Lab;
  /** The inverse; past 0-1 where the screen cannot show the colour. */
  fromLab(lab: Lab): Three;
}

type Three = readonly [number, number, number];

/** x 0.3457 and y 0.3585, as XYZ with Y = 1. */
const D50: Xyz = [0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585];

/** Bradford, from the white of both spaces, D65, to D50. */
const D65_TO_D50 = [
  [1.0479297925449969, 0.022946870601609652, -0.05019226628920524],
  [0.02962780877005599, 0.9904344267538799, -0.017073799063418826],
  [-0.009243040646204504, 0.015055191490298152, 0.7518742814281371],
] as const;

/** XYZ under D65 of linear red, green and blue. */
const SRGB_TO_XYZ = [
  [506752 / 1228815, 87881 / 245763, 12673 / 70218],
  [87098 / 409605, 175762 / 245763, 12673 / 175545],
  [7918 / 409605, 87881 / 737289, 1001167 / 1053270],
] as const;
const P3_TO_XYZ = [
  [608311 / 1250200, 189793 / 714400, 198249 / 1000160],
  [35783 / 156275, 247089 / 357200, 198249 / 2500400],
  [0, 32229 / 714400, 5220557 / 5000800],
] as const;

/**
 * sRGB and Display P3, which share one curve.
 * Holds:   there and back changes nothing; numbers past 0-1 go by the same curve, mirrored at 0
 * Source:  [CSSColor4] section 18, sample code
 */
export const SRGB: ScreenSpace = screenSpace(SRGB_TO_XYZ);
export const DISPLAY_P3: ScreenSpace = screenSpace(P3_TO_XYZ);

function screenSpace(toXyz: Matrix): ScreenSpace {
  const into = product(D65_TO_D50, toXyz);
  const back = inverse(into);
  return {
    toLab: ([r, g, b]) => labFromXyz(times(into, [linear(r), linear(g), linear(b)]), D50),
    fromLab(lab) {
      const [r, g, b] = times(back, xyzFromLab(lab, D50));
      return [encoded(r), encoded(g), encoded(b)];
    },
  };
}

function product(one: Matrix, other: Matrix): Matrix {
  const at = (row: readonly number[], c: number) =>
    row.reduce((sum, v, k) => sum + v * other[k][c], 0);
  return one.map((row) => [0, 1, 2].map((c) => at(row, c)));
}

function linear(v: number): number {
  const size = Math.abs(v);
  return size <= 0.04045 ? v / 12.92 : Math.sign(v) * ((size + 0.055) / 1.055) ** 2.4;
}

function encoded(v: number): number {
  const size = Math.abs(v);
  return size <= 0.0031308 ? 12.92 * v : Math.sign(v) * (1.055 * size ** (1 / 2.4) - 0.055);
}
