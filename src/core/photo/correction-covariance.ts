import { chromaStep, localMetric, metricInverse } from '../colour/local-metric.ts';
import type { Lab } from '../colour/triples.ts';
import { backward, forward } from '../numeric/dense-cholesky.ts';
import { labSlopes } from './camera-equations.ts';
import type { Seen } from './camera-model.ts';
import { type Correction, plainLab } from './correction.ts';
import { residualCommon } from './residual-field.ts';

/** Paint differs from the patches of a chart in its spectrum; measured on rendered scenes. */
const PAINT_AGAINST_CHART = 1.05;
/**
 * Colours of one tray closer than this are mostly of the same paints; dE00, measured on rendered
 * scenes.
 */
const ALIKE_REACH = 8;
/** From this chroma on, hue and chroma are separate. */
const COLOURED = 10;

/**
 * Covariance of the corrected colours of one photo, without the reading noise of each.
 * Shape:   n colours -> 3n x 3n by rows, CIELAB units squared
 * Holds:   similar colours share their errors, so their difference is more certain than either;
 *          lightness, chroma and hue err as far as each does on held-out patches, because a camera
 *          that sees hues wrong may still see lightness right
 * Source:  Laplace's approximation for the camera numbers, its middle from the actual residuals
 *          ([Huber1981]); [RasmussenWilliams2006] for the residual field
 */
export function correctionCovariance(correction: Correction, seen: readonly Seen[]): Float64Array {
  const { fit, residual } = correction;
  const n = seen.length;
  const size = fit.numbers.length;
  const out = new Float64Array(9 * n * n);
  const unit = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
  const labs = seen.map((one) => plainLab(fit, one));
  // Steps of L, a, b caused by a residual of each axis.
  const steps = labs.map((lab) => {
    const back = metricInverse(localMetric(lab));
    const [light, chroma, hue] = correction.paintSpread;
    const spread = alongAxes([light, chroma * chromaStep(lab), hue], lab);
    return back.map((v, at) => v * spread[at % 3]);
  });
  const rooms = labs.map(evenRoom);
  const numbers = numbersCovariance(correction);
  const slopes = seen.map((one) =>
    labSlopes(one, fit.white, fit.settings.terms, fit.numbers, unit),
  );
  const carried = slopes.map((rows) => {
    const product = new Float64Array(3 * size);
    for (let r = 0; r < 3; r++) {
      for (let a = 0; a < size; a++) {
        for (let b = 0; b < size; b++)
          product[r * size + b] += rows[r * size + a] * numbers[a * size + b];
      }
    }
    return product;
  });
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      // Half of the residual is smooth, half belongs to a paint and is shared only by similar ones.
      const common =
        (residualCommon(residual, labs[i], labs[j]) + paintAlike(rooms[i], rooms[j])) / 2;
      for (let r = 0; r < 3; r++) {
        for (let s = 0; s < 3; s++) {
          let value = 0;
          for (let a = 0; a < size; a++)
            value += carried[i][r * size + a] * slopes[j][s * size + a];
          for (let k = 0; k < 3; k++) value += common * steps[i][3 * r + k] * steps[j][3 * s + k];
          out[(3 * i + r) * 3 * n + 3 * j + s] = value;
          out[(3 * j + s) * 3 * n + 3 * i + r] = value;
        }
      }
    }
  }
  return out;
}

/** Covariance of the camera numbers, by rows. */
function numbersCovariance(correction: Correction): Float64Array {
  const { fit, patches, residualSpread } = correction;
  const { settings, white, numbers, priors, information } = fit;
  const size = numbers.length;
  const mean = residualSpread.reduce((sum, v) => sum + v * v, 0) / 3;
  const middle = new Float64Array(size * size);
  priors.forEach((precision, a) => {
    middle[a * size + a] = mean * PAINT_AGAINST_CHART ** 2 * precision;
  });
  for (const patch of patches) {
    const rows = labSlopes(patch, white, settings.terms, numbers, localMetric(patch.lab));
    const spread = alongAxes(residualSpread, patch.lab);
    for (let r = 0; r < 3; r++) {
      for (let a = 0; a < size; a++) {
        const weighted = spread[r] ** 2 * rows[r * size + a];
        for (let b = 0; b < size; b++) middle[a * size + b] += weighted * rows[r * size + b];
      }
    }
  }
  // From both sides by the inverse of the normal equations.
  for (let side = 0; side < 2; side++) {
    forward(information, middle, size, size);
    for (let c = 0; c < size; c++) {
      const column = Float64Array.from({ length: size }, (_, a) => middle[a * size + c]);
      backward(information, column, size);
      for (let a = 0; a < size; a++) middle[a * size + c] = column[a];
    }
    for (let a = 0; a < size; a++) {
      for (let b = 0; b < a; b++) {
        const fixed = middle[a * size + b];
        middle[a * size + b] = middle[b * size + a];
        middle[b * size + a] = fixed;
      }
    }
  }
  return middle;
}

/**
 * Standard deviations along lightness, chroma and hue at a colour; close to grey the last two are
 * one.
 */
function alongAxes([light, chroma, hue]: readonly [number, number, number], [, a, b]: Lab) {
  const hueShare = (a * a + b * b) / (a * a + b * b + COLOURED * COLOURED);
  const both = (chroma ** 2 + hue ** 2) / 2;
  return [
    light,
    Math.sqrt(both + hueShare * (chroma ** 2 - both)),
    Math.sqrt(both + hueShare * (hue ** 2 - both)),
  ].map((spread) => PAINT_AGAINST_CHART * spread);
}

/**
 * A space in which steps are about dE00 at any chroma, so that a function falling with distance
 * stays a covariance.
 */
function evenRoom([l, a, b]: Lab): Lab {
  const c = Math.hypot(a, b);
  const squeeze = c < 1e-9 ? 1 : Math.log1p(0.045 * c) / (0.045 * c);
  return [l, a * squeeze, b * squeeze];
}

function paintAlike(one: Lab, other: Lab): number {
  const squared = (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 + (one[2] - other[2]) ** 2;
  return Math.exp(-squared / (2 * ALIKE_REACH * ALIKE_REACH));
}
