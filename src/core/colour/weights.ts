import { invalidInput } from '../errors.ts';
import {
  CIE_FIRST_NM,
  CIE_LAST_NM,
  CMF_1931,
  CMF_1964,
  LIGHT_POWER,
  LIGHT_STEP_NM,
} from './cie.data.ts';
import { bandShares } from './fit-bands.ts';
import { BANDS, GRID_NM } from './grid.ts';
import type { Xyz } from './triples.ts';

/** Names of CIE 15:2018. */
export type LightName = keyof typeof LIGHT_POWER;
export type ObserverDeg = 2 | 10;

export const LIGHT_NAMES = Object.keys(LIGHT_POWER) as readonly LightName[];
export const OBSERVER_DEGS: readonly ObserverDeg[] = [2, 10];

export interface ColourWeights {
  readonly light: LightName;
  readonly observer: ObserverDeg;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  /** Of the perfect diffuser: the sums of the weights. Y is 1. */
  readonly white: Xyz;
}

/** Least share of each of X, Y and Z (of white) that must be in bands that were measured. */
const LEAST_OBSERVED = 0.95;

const made = new Map<string, ColourWeights>();

/**
 * Weights that carry a reflectance on the program's own grid to XYZ: X = sum of x * reflectance,
 * and so on.
 * Shape:   36 weights each for X, Y, Z; the same object every time, not to be written to
 * Units:   reflectance 0-1 gives Y 0-1
 * Method:  the idea of ASTM E2022: at every nm the reflectance is a Lagrange polynomial through the
 *          nearest bands (four inside, three in the first and last interval) and the light a
 *          straight line between its 5 nm values; the sum over 380-780 nm is gathered by band.
 *          Light beyond 730 nm is added to the last band, as ASTM E308 does with missing ends.
 * Holds:   Y of the perfect diffuser is 1; exact for reflectances that are cubic in wavelength
 * Limits:  FL11 and LED-B3 have lines: taking the bands' own values instead errs up to 5.8 CIELAB
 *          units under FL11. The 5 nm sum of CIE 15 puts their white up to 0.0002 in x, y away and
 *          chart colours up to 0.09 CIELAB units. Data are taken as corrected for bandpass.
 * Source:  [E2022], [E308], [CIE15]; oracles test/oracles/colour/e308-weights.csv,
 *          computed-xyz-lab.csv
 */
export function colourWeights(light: LightName, observer: ObserverDeg): ColourWeights {
  const key = `${light}/${observer}`;
  let weights = made.get(key);
  if (weights === undefined) {
    weights = gather(light, observer);
    made.set(key, weights);
  }
  return weights;
}

/**
 * Weights for a spectrum that lacks bands at its ends: their weights are added to the closest
 * measured band, as if the reflectance continued level. For showing the colour of a reading only;
 * never for a fit.
 * Shape:   observed: 36 flags, 1 where measured -> as `colourWeights`, 0 where not observed
 * Refuses: a gap between measured bands; ends so short that less than 95 % of X, Y or Z of white is
 *          measured -> invalid-input
 * Source:  [E308] (weights of missing ends added to the last measured band)
 */
export function colourWeightsObserved(
  light: LightName,
  observer: ObserverDeg,
  observed: Uint8Array,
): ColourWeights {
  const full = colourWeights(light, observer);
  if (observed.length !== BANDS) {
    throw invalidInput(`Flags for ${observed.length} bands were given; the grid has ${BANDS}.`);
  }
  const first = observed.indexOf(1);
  const last = observed.lastIndexOf(1);
  if (first < 0 || observed.subarray(first, last + 1).includes(0)) {
    throw invalidInput(
      first < 0 ? 'No band of the spectrum was measured.' : 'The spectrum has a gap.',
      'Measure the tile again from 400 to 700 nm.',
    );
  }
  const fold = (weights: Float64Array) => {
    const folded = new Float64Array(BANDS);
    for (let i = 0; i < BANDS; i++) folded[Math.min(Math.max(i, first), last)] += weights[i];
    const moved = total(weights.subarray(0, first)) + total(weights.subarray(last + 1));
    if (moved > (1 - LEAST_OBSERVED) * total(weights)) {
      throw invalidInput(
        `The spectrum runs only from ${GRID_NM[first]} to ${GRID_NM[last]} nm.`,
        'Too little of it is measured to show its colour; measure from 400 to 700 nm.',
      );
    }
    return folded;
  };
  const { x, y, z, white } = full;
  return { light, observer, x: fold(x), y: fold(y), z: fold(z), white };
}

/** 'D50', 'd65', 'F11', 'led-b3' …; undefined where the name is not one of the program's lights. */
export function lightFromName(name: string): LightName | undefined {
  const plain = name
    .trim()
    .toUpperCase()
    .replace(/[\s_-]/g, '')
    .replace(/^F11$/, 'FL11');
  return LIGHT_NAMES.find((light) => light.replace('-', '') === plain);
}

function gather(light: LightName, observer: ObserverDeg): ColourWeights {
  const power = LIGHT_POWER[light];
  const matching = observer === 2 ? CMF_1931 : CMF_1964;
  const x = new Float64Array(BANDS);
  const y = new Float64Array(BANDS);
  const z = new Float64Array(BANDS);
  const share = new Float64Array(BANDS);
  for (let nm = CIE_FIRST_NM; nm <= CIE_LAST_NM; nm++) {
    const at = (nm - CIE_FIRST_NM) / LIGHT_STEP_NM;
    const below = Math.floor(at);
    const s = power[below] + (at - below) * ((power[below + 1] ?? 0) - power[below]);
    bandShares(nm, 0, BANDS - 1, share);
    for (let i = 0; i < BANDS; i++) {
      if (share[i] === 0) continue;
      x[i] += s * share[i] * matching.x[nm - CIE_FIRST_NM];
      y[i] += s * share[i] * matching.y[nm - CIE_FIRST_NM];
      z[i] += s * share[i] * matching.z[nm - CIE_FIRST_NM];
    }
  }
  const scale = 1 / total(y);
  for (let i = 0; i < BANDS; i++) {
    x[i] *= scale;
    y[i] *= scale;
    z[i] *= scale;
  }
  // Rounding leaves the sum some 1e-16 from 1; 1 - s is exact for s in 0.5-1, so the last band
  // corrects it.
  y[BANDS - 1] = 1 - total(y.subarray(0, BANDS - 1));
  return { light, observer, x, y, z, white: [total(x), 1, total(z)] };
}

function total(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  return sum;
}
