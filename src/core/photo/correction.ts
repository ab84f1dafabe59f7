import { deltaE2000 } from '../colour/difference.ts';
import { labFromXyz } from '../colour/spaces.ts';
import type { Lab, Xyz } from '../colour/triples.ts';
import { colourWeights } from '../colour/weights.ts';
import { forward } from '../numeric/dense-cholesky.ts';
import { labSlopes, type SeenPatch } from './camera-equations.ts';
import { type Seen, type Terms, xyzOfCode } from './camera-model.ts';
import { type CameraFit, type FitSettings, fitCamera } from './fit-camera.ts';
import { type Leftover, leftoverAt, leftoverCommon, leftoverFrom } from './leftover.ts';
import { localMetric } from './local-metric.ts';

export interface HeldOut {
  /** dE00 of each patch, foretold from the others. */
  readonly dE00: readonly number[];
  readonly mean: number;
  readonly worst: number;
}

/** A camera and a light, learnt from one photo of a chart. */
export interface Correction {
  readonly fit: CameraFit;
  readonly leftover: Leftover;
  readonly terms: Terms;
  readonly toneCurve: boolean;
  readonly heldOut: HeldOut;
  /** Standard deviation of what the camera numbers cannot explain, dE00 an axis. */
  readonly misfitSpread: number;
}

/** Spreads that may bend; common practice, no source, but for the roots, see docs/photo.md. */
const ROOT_SPREAD = 0.25;
const TONE_SPREAD = 0.3;
const BLACK_SPREAD = 0.002;
/** A veil of stray light: haze, a dirty lens, a window in front of it. */
const VEIL_SPREAD = 0.02;
/** Paint differs from the patches of a chart in its spectrum; measured on rendered scenes. */
const PAINT_AGAINST_CHART = 1.3;
/** From the fit of all patches two rounds settle: five gave the same to a hundredth. */
const REFIT_ROUNDS = 2;

/**
 * Learns camera and light from patches of known colour. Linear and root terms, with and without a
 * tone curve, with and without a veil of stray light, are tried; the form with the least error on held-out patches is taken.
 * Shape:   patches that are neither shaded nor clipped; how far the light may still slope, as the standard
 *          deviation of its logarithm from the middle to the edge of the chart -> how to correct, and how
 *          well it foretells
 * Holds:   every patch is foretold from all the others, never from itself; the choice of the form
 *          has seen the errors it is judged by, which flatters by a few hundredths
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

/** Mean held-out error of one plain form, to weigh what the codes of a picture stand for. */
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
  settings: FitSettings,
): Correction {
  const fit = fitCamera(patches, white, settings);
  let squares = 0;
  const dE00 = patches.map((patch, leaveOut) => {
    const without = fitCamera(patches, white, settings, {
      start: fit.numbers,
      leaveOut,
      rounds: REFIT_ROUNDS,
    });
    for (let r = 0; r < 3; r++) squares += without.misfits[3 * leaveOut + r] ** 2;
    const others = patches.filter((_, i) => i !== leaveOut);
    const misfits = without.misfits.filter((_, at) => Math.floor(at / 3) !== leaveOut);
    const leftover = leftoverFrom(
      others.map((other) => plainLab(without, other)),
      misfits,
    );
    return deltaE2000(mended(without, leftover, patch), patch.lab);
  });
  return {
    fit,
    leftover: leftoverFrom(
      patches.map((patch) => plainLab(fit, patch)),
      fit.misfits,
    ),
    terms: settings.terms,
    toneCurve: settings.toneSpread > 0,
    heldOut: {
      dE00,
      mean: dE00.reduce((sum, d) => sum + d, 0) / dE00.length,
      worst: Math.max(...dE00),
    },
    misfitSpread: Math.sqrt(squares / (3 * patches.length)),
  };
}

/** The colour under D50 and 2 degree. */
export function correctedLab(correction: Correction, seen: Seen): Lab {
  return mended(correction.fit, correction.leftover, seen);
}

/**
 * Covariance of corrected colours that one photo gave, the reading noise of each not in it.
 * Shape:   n colours -> 3n x 3n by rows, CIELAB units squared
 * Holds:   colours next to each other err together, so their difference is surer than either
 * Source:  Laplace's approximation for the camera numbers, [RasmussenWilliams2006] for the leftover
 */
export function correctionCovariance(correction: Correction, seen: readonly Seen[]): Float64Array {
  const { fit, leftover, misfitSpread } = correction;
  const n = seen.length;
  const size = fit.numbers.length;
  const out = new Float64Array(9 * n * n);
  const unit = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
  const labs = seen.map((one) => plainLab(fit, one));
  const back = labs.map((lab) => inverse3(localMetric(lab)));
  const rooms = labs.map(evenRoom);
  // Columns of L^-1 J^T: their products are the covariance that the camera numbers leave.
  const whitened = seen.map((one) => {
    const rows = labSlopes(one, fit.white, fit.settings.terms, fit.numbers, unit);
    const columns = new Float64Array(3 * size);
    for (let a = 0; a < size; a++) {
      for (let r = 0; r < 3; r++) columns[3 * a + r] = rows[r * size + a];
    }
    forward(fit.information, columns, size, 3);
    return columns;
  });
  const variance = (PAINT_AGAINST_CHART * misfitSpread) ** 2;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      // Half of the leftover is smooth, half a paint's own, which only its like has as well.
      const common =
        (leftoverCommon(leftover, labs[i], labs[j]) + paintAlike(rooms[i], rooms[j])) / 2;
      for (let r = 0; r < 3; r++) {
        for (let s = 0; s < 3; s++) {
          let sum = 0;
          for (let a = 0; a < size; a++) sum += whitened[i][3 * a + r] * whitened[j][3 * a + s];
          let own = 0;
          for (let k = 0; k < 3; k++) own += back[i][3 * r + k] * back[j][3 * s + k];
          const value = variance * (sum + common * own);
          out[(3 * i + r) * 3 * n + 3 * j + s] = value;
          out[(3 * j + s) * 3 * n + 3 * i + r] = value;
        }
      }
    }
  }
  return out;
}

/** Of colours of one tray nearer than this most are of the same paints; dE00, measured on rendered scenes. */
const ALIKE_REACH = 5;

/** A room in which steps are about dE00 at any chroma, so that what falls off with distance stays a covariance. */
function evenRoom([l, a, b]: Lab): Lab {
  const c = Math.hypot(a, b);
  const squeeze = c < 1e-9 ? 1 : Math.log1p(0.045 * c) / (0.045 * c);
  return [l, a * squeeze, b * squeeze];
}

function paintAlike(one: Lab, other: Lab): number {
  const squared = (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 + (one[2] - other[2]) ** 2;
  return Math.exp(-squared / (2 * ALIKE_REACH * ALIKE_REACH));
}

function plainLab(fit: CameraFit, seen: Seen): Lab {
  const xyz = new Float64Array(3);
  xyzOfCode(xyz, fit.numbers, fit.settings.terms, seen);
  return labFromXyz([xyz[0], xyz[1], xyz[2]], fit.white);
}

function mended(fit: CameraFit, leftover: Leftover, seen: Seen): Lab {
  const plain = plainLab(fit, seen);
  const miss = leftoverAt(leftover, plain);
  const back = inverse3(localMetric(plain));
  return [0, 1, 2].map(
    (r) => plain[r] + back[3 * r] * miss[0] + back[3 * r + 1] * miss[1] + back[3 * r + 2] * miss[2],
  ) as unknown as Lab;
}

/** Inverse of a metric: lightness stands by itself, the other two turn into each other. */
function inverse3(m: Float64Array): Float64Array {
  const determinant = m[4] * m[8] - m[5] * m[7];
  return Float64Array.of(
    1 / m[0],
    0,
    0,
    0,
    m[8] / determinant,
    -m[5] / determinant,
    0,
    -m[7] / determinant,
    m[4] / determinant,
  );
}
