import { deltaE2000 } from '../colour/difference.ts';
import { chromaStep, localMetric, metricInverse } from '../colour/local-metric.ts';
import { labFromXyz } from '../colour/spaces.ts';
import { type Lab, triple, type Xyz } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import type { SeenPatch } from './camera-equations.ts';
import { BLACK, lightOfCode, type Seen, SLOPE, type Terms, xyzOfCode } from './camera-model.ts';
import { type CameraFit, type CameraFitSettings, fitCamera } from './fit-camera.ts';
import { type Residual, residualAt, residualFrom } from './residual-field.ts';

export interface HeldOut {
  /** dE00 of each patch, predicted from the others. */
  readonly dE00: readonly number[];
  readonly mean: number;
  readonly worst: number;
}

/** A camera and a light, learned from one photo of a chart. */
export interface Correction {
  readonly fit: CameraFit;
  readonly residual: Residual;
  readonly terms: Terms;
  readonly toneCurve: boolean;
  readonly heldOut: HeldOut;
  readonly patches: readonly SeenPatch[];
  /**
   * Spread of the error that the camera numbers cannot explain, held out; lightness, chroma and
   * hue, dE00.
   */
  readonly residualSpread: readonly [number, number, number];
  /** The same for paints: chroma in CIELAB units, because their error is the same at any chroma. */
  readonly paintSpread: readonly [number, number, number];
}

/**
 * Spreads of the terms beside the matrix; common practice, no source, except for the roots, see
 * docs/photo.md.
 */
const ROOT_SPREAD = 0.25;
const TONE_SPREAD = 0.3;
const BLACK_SPREAD = 0.002;
/** A veil of stray light: haze, a dirty lens, a window in front of it. */
const VEIL_SPREAD = 0.02;
/** From the fit of all patches two rounds settle: five gave the same to a hundredth. */
const REFIT_ROUNDS = 2;

/**
 * Learns camera and light from patches of known colour. It tries linear and root terms, with and
 * without a tone curve, with and without a veil of stray light, and uses the form with the least
 * error on held-out patches.
 * Shape:   patches that are neither shaded nor clipped; the remaining slope of the light, as the
 *          standard deviation of its logarithm from the middle to the edge of the chart -> the
 *          correction, and how well it predicts
 * Holds:   every patch is predicted from all the others, never from itself; the form is chosen by
 *          the same errors that judge it, which makes them a few hundredths too small
 * Source:  [Finlayson2015]
 */
export function correctionFrom(patches: readonly SeenPatch[], slopeSpread: number): Correction {
  const white = colourWeights('D50', 2).white;
  let best: Correction | undefined;
  for (const blackSpread of [BLACK_SPREAD, VEIL_SPREAD]) {
    for (const toneSpread of [0, TONE_SPREAD]) {
      for (const terms of ['linear', 'root'] as const) {
        const made = correctionOf(patches, white, {
          terms,
          rootSpread: ROOT_SPREAD,
          toneSpread,
          blackSpread,
          slopeSpread,
        });
        if (best === undefined || made.heldOut.mean < best.heldOut.mean) best = made;
      }
    }
  }
  return best!;
}

/** Mean held-out error of one plain form, used to choose what the codes of a picture represent. */
export function plainHeldOut(patches: readonly SeenPatch[], slopeSpread: number): number {
  const { mean } = correctionOf(patches, colourWeights('D50', 2).white, {
    terms: 'linear',
    rootSpread: ROOT_SPREAD,
    toneSpread: TONE_SPREAD,
    blackSpread: BLACK_SPREAD,
    slopeSpread,
  }).heldOut;
  return mean;
}

function correctionOf(
  patches: readonly SeenPatch[],
  white: Xyz,
  settings: CameraFitSettings,
): Correction {
  const fit = fitCamera(patches, white, settings);
  const residualsHeldOut: [number, number, number][] = [];
  const dE00 = patches.map((patch, leaveOut) => {
    const without = fitCamera(patches, white, settings, {
      start: fit.numbers,
      leaveOut,
      rounds: REFIT_ROUNDS,
    });
    const [light, chroma, hue] = without.residuals.subarray(3 * leaveOut, 3 * leaveOut + 3);
    residualsHeldOut.push([light, chroma, hue]);
    const others = patches.filter((_, i) => i !== leaveOut);
    const residuals = without.residuals.filter((_, at) => Math.floor(at / 3) !== leaveOut);
    const residual = residualFrom(
      others.map((other) => plainLab(without, other)),
      residuals,
    );
    return deltaE2000(mended(without, residual, patch), patch.lab);
  });
  return {
    fit,
    residual: residualFrom(
      patches.map((patch) => plainLab(fit, patch)),
      fit.residuals,
    ),
    terms: settings.terms,
    toneCurve: settings.toneSpread > 0,
    heldOut: {
      dE00,
      mean: dE00.reduce((sum, d) => sum + d, 0) / dE00.length,
      worst: Math.max(...dE00),
    },
    patches,
    ...spreadsOf(patches, residualsHeldOut),
  };
}

/** Patches below this chroma have a flat spectrum, unlike mixed greys. */
const COLOURED = 10;
const LEAST_COLOURED = 6;

function spreadsOf(
  patches: readonly SeenPatch[],
  residuals: readonly (readonly [number, number, number])[],
): Pick<Correction, 'residualSpread' | 'paintSpread'> {
  const rootMean = (values: readonly number[]) =>
    Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
  const coloured = residuals.filter((_, i) => Math.hypot(...patches[i].lab.slice(1)) > COLOURED);
  const evaluated = coloured.length < LEAST_COLOURED ? residuals : coloured;
  const inLab = residuals.map(([, chroma], i) => chroma / chromaStep(patches[i].lab));
  const light = rootMean(residuals.map((m) => m[0]));
  return {
    residualSpread: [
      light,
      rootMean(residuals.map((m) => m[1])),
      rootMean(residuals.map((m) => m[2])),
    ],
    paintSpread: [
      light,
      rootMean(inLab.filter((_, i) => evaluated.includes(residuals[i]))),
      rootMean(evaluated.map((m) => m[2])),
    ],
  };
}

/** The colour under D50 and 2 degree. */
export function correctedLab(correction: Correction, seen: Seen): Lab {
  return mended(correction.fit, correction.residual, seen);
}

/** The colour before the remaining residual is added. */
export function plainLab(fit: CameraFit, seen: Seen): Lab {
  const xyz = new Float64Array(3);
  xyzOfCode(xyz, numbersAt(fit, seen), fit.settings.terms, seen);
  return labFromXyz([xyz[0], xyz[1], xyz[2]], fit.white);
}

/**
 * The camera numbers for a code: light cannot be below none, so a black level below 0 makes up for a tone
 * curve that bends more in the dark, and fades below the darkest patch.
 */
function numbersAt({ numbers, darkest, settings }: CameraFit, { code }: Seen): Float64Array {
  if (settings.toneSpread === 0) return numbers;
  const share = Math.max(0, lightOfCode(code, numbers) / darkest);
  if (!(share < 1)) return numbers;
  return numbers.map((v, at) => (at >= BLACK && at < SLOPE && v < 0 ? share * v : v));
}

/** Share of the step between a black level below 0 and none that is unsure. */
const BLACK_UNSURE = 0.7;

/** How unsure a colour is that is darker than the patches, where the black level is below 0. */
export function blackStep({ fit }: Correction, seen: Seen): Lab {
  const numbers = fit.numbers.slice();
  for (let at = BLACK; at < SLOPE; at++) numbers[at] = Math.max(0, numbers[at]);
  const [here, there] = [plainLab(fit, seen), plainLab({ ...fit, numbers }, seen)];
  return triple((r) => BLACK_UNSURE * (there[r] - here[r]));
}

function mended(fit: CameraFit, residual: Residual, seen: Seen): Lab {
  const plain = plainLab(fit, seen);
  const miss = residualAt(residual, plain);
  const back = metricInverse(localMetric(plain));
  return triple(
    (r) => plain[r] + back[3 * r] * miss[0] + back[3 * r + 1] * miss[1] + back[3 * r + 2] * miss[2],
  );
}
