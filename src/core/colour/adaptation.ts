import { inverse, times } from './matrix.ts';
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

const BRADFORD_BACK = inverse(BRADFORD);

/**
 * The colour that looks the same under another white as this one does under its own.
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
 * A Lab given under one light and observer, converted to another, where no spectrum is known.
 * Shape:   [L, a, b] -> [L, a, b]
 * Limits:  an approximation: two paints of one colour can differ under another light, and no
 *          formula knows by how much. Over 24 chart colours against their spectra, to D50 and 2
 *          degree, mean and worst dE00: from D65/2 0.6 and 1.3, D65/10 2.5 and 5.5, A/2 1.6 and
 *          3.4, FL11/2 2.2 and 6.2, D50/10 1.9 and 5.3. Another observer costs more than daylight
 * Source:  [ICC] annex E; oracle test/oracles/colour/spectra-average30.csv
 */
export function labUnder(lab: Lab, from: Viewing, to: Viewing): Lab {
  if (from.light === to.light && from.observer === to.observer) return lab;
  const fromWhite = colourWeights(from.light, from.observer).white;
  const toWhite = colourWeights(to.light, to.observer).white;
  return labFromXyz(adaptXyz(xyzFromLab(lab, fromWhite), fromWhite, toWhite), toWhite);
}
