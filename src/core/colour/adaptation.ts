import { labFromXyz, xyzFromLab } from './spaces.ts';
import type { Lab, Xyz } from './triples.ts';
import { colourWeights, type LightName, type ObserverDeg } from './weights.ts';

/** Light and observer that a Lab is given under. */
export interface Viewing {
  readonly light: LightName;
  readonly observer: ObserverDeg;
}

/** Bradford cone responses, linear form: ICC.1:2022 annex E. */
const BRADFORD = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
] as const;

type Matrix = readonly (readonly number[])[];
const BRADFORD_BACK = inverse(BRADFORD);

/**
 * The colour that looks under one white as this one does under another.
 * Shape:   [X, Y, Z], two whites -> [X, Y, Z]
 * Holds:   the white becomes the other white; the same white changes nothing
 * Source:  [ICC] annex E, linearised Bradford transform, full adaptation
 */
export function adaptXyz(xyz: Xyz, fromWhite: Xyz, toWhite: Xyz): Xyz {
  const cone = times(BRADFORD, xyz);
  const from = times(BRADFORD, fromWhite);
  const to = times(BRADFORD, toWhite);
  return times(BRADFORD_BACK, [
    (cone[0] * to[0]) / from[0],
    (cone[1] * to[1]) / from[1],
    (cone[2] * to[2]) / from[2],
  ]);
}

/**
 * A Lab given under one light and observer, told for another, where no spectrum is known.
 * Shape:   [L, a, b] -> [L, a, b]
 * Limits:  an approximation: two paints of one colour part under another light, and no formula
 *          knows by how much. Over 24 chart colours against their spectra, to D50 and 2 degree, mean
 *          and worst dE00: from D65/2 0.6 and 1.3, D65/10 2.5 and 5.5, A/2 1.6 and 3.4,
 *          FL11/2 2.2 and 6.2, D50/10 1.9 and 5.3. Another observer costs more than daylight
 * Source:  [ICC] annex E; oracle test/oracles/colour/spectra-average30.csv
 */
export function labUnder(lab: Lab, from: Viewing, to: Viewing): Lab {
  if (from.light === to.light && from.observer === to.observer) return lab;
  const fromWhite = colourWeights(from.light, from.observer).white;
  const toWhite = colourWeights(to.light, to.observer).white;
  return labFromXyz(adaptXyz(xyzFromLab(lab, fromWhite), fromWhite, toWhite), toWhite);
}

function times(m: Matrix, v: Xyz): Xyz {
  return [
    m[0][0] * v[0] + m[0][1] * v[1] + m[0][2] * v[2],
    m[1][0] * v[0] + m[1][1] * v[1] + m[1][2] * v[2],
    m[2][0] * v[0] + m[2][1] * v[1] + m[2][2] * v[2],
  ];
}

function inverse(m: Matrix): Matrix {
  const minor = (r: number, c: number) => {
    const [r1, r2] = [(r + 1) % 3, (r + 2) % 3];
    const [c1, c2] = [(c + 1) % 3, (c + 2) % 3];
    return m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1];
  };
  const determinant = m[0][0] * minor(0, 0) + m[0][1] * minor(0, 1) + m[0][2] * minor(0, 2);
  return [0, 1, 2].map((r) => [0, 1, 2].map((c) => minor(c, r) / determinant));
}
