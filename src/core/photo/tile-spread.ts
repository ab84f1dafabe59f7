import { type Lab, triple } from '../colour/triples.ts';
import type { Seen } from './camera-model.ts';
import { meantLight, strongerLights } from './clipped-channels.ts';
import { srgbEncoded } from './encoding.ts';

/** How a colour moves when its light is slightly stronger than assumed. */
export function lightStep(labOf: (seen: Seen) => Lab, seen: Seen, part: number): Lab {
  const lab = labOf(seen);
  const brighter = labOf({
    ...seen,
    light: triple((c) => seen.light[c] / (1 + part)),
  });
  return [brighter[0] - lab[0], brighter[1] - lab[1], brighter[2] - lab[2]];
}

/** Adds an error that all tiles share, each with its own step. */
export function addShared(covariance: Float64Array, steps: readonly Lab[]): void {
  const size = 3 * steps.length;
  steps.forEach((one, i) => {
    steps.forEach((other, j) => {
      for (let r = 0; r < 3; r++) {
        for (let s = 0; s < 3; s++) {
          covariance[(3 * i + r) * size + 3 * j + s] += one[r] * other[s];
        }
      }
    });
  });
}

/**
 * The error that belongs to one tile: quarters that differ, light that no paper shows, and further steps
 * by which the reading may be off.
 */
export function ownCovariance(
  labOf: (seen: Seen) => Lab,
  seen: Seen,
  quarters: readonly Seen[],
  lightSpread: number,
  light: readonly [number, number, number],
  further: readonly Lab[] = [],
): Float64Array {
  const out = new Float64Array(9);
  const lab = labOf(seen);
  // Steps by which one reading may be off, each independent of the others.
  const stepTo = (other: readonly number[]) => {
    const there = labOf({ ...seen, code: triple((c) => srgbEncoded(other[c])) });
    return [0, 1, 2].map((r) => there[r] - lab[r]);
  };
  const meant = meantLight(light);
  const steps = [
    ...strongerLights(light).map((stronger) =>
      stepTo(stronger.map((v, c) => v + meant[c] - light[c])),
    ),
    stepTo(meant.map((v) => v + VEIL)),
    lightStep(labOf, seen, lightSpread),
    ...further,
  ];
  const labs = quarters.map(labOf);
  const mean = [0, 1, 2].map((r) => labs.reduce((sum, l) => sum + l[r], 0) / (labs.length || 1));
  for (let r = 0; r < 3; r++) {
    for (let s = 0; s < 3; s++) {
      let value = steps.reduce((sum, d) => sum + d[r] * d[s], 0);
      if (labs.length > 1) {
        const scatter = labs.reduce((sum, l) => sum + (l[r] - mean[r]) * (l[s] - mean[s]), 0);
        value += scatter / ((labs.length - 1) * labs.length);
      }
      out[3 * r + s] = value + (r === s ? LEAST_VARIANCE : 0);
    }
  }
  return out;
}

/**
 * Light added by a shine too even to be seen, against the brightest the file can hold; measured on
 * rendered scenes.
 */
const VEIL = 0.001;

/** Reading noise below which two readings of one tile do not differ, CIELAB units squared. */
const LEAST_VARIANCE = 0.01;
