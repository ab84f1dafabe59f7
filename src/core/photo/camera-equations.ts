import { labFromXyz, labJacobian } from '../colour/spaces.ts';
import type { Lab, Xyz } from '../colour/triples.ts';
import {
  BEFORE_MATRIX,
  type Seen,
  TERM_COUNT,
  type Terms,
  termsOfCode,
  xyzOfCode,
} from './camera-model.ts';

/** A patch of known colour as the camera wrote it; D50, 2 degree. */
export interface SeenPatch extends Seen {
  readonly lab: Lab;
}

/** Step of the differences that separate tone, black and slope. */
const STEP = 1e-5;

/** Known minus predicted of every patch, in steps of its metric, three numbers each. */
export function issuesInto(
  out: Float64Array,
  patches: readonly SeenPatch[],
  metrics: readonly Float64Array[],
  white: Xyz,
  terms: Terms,
  numbers: Float64Array,
): void {
  for (let i = 0; i < patches.length; i++) {
    const { lab } = patches[i];
    xyzOfCode(xyz, numbers, terms, patches[i]);
    const got = labFromXyz([xyz[0], xyz[1], xyz[2]], white);
    for (let r = 0; r < 3; r++) {
      let sum = 0;
      for (let x = 0; x < 3; x++) sum += metrics[i][3 * r + x] * (lab[x] - got[x]);
      out[3 * i + r] = sum;
    }
  }
}

const xyz = new Float64Array(3);
const moved = new Float64Array(3);
const f = new Float64Array(6);

/** Normal equations of the residuals: the matrix is returned, the right side written to `right`. */
export function equations(
  right: Float64Array,
  patches: readonly SeenPatch[],
  metrics: readonly Float64Array[],
  white: Xyz,
  terms: Terms,
  numbers: Float64Array,
  weights: Float64Array,
  residuals: Float64Array,
): Float64Array<ArrayBuffer> {
  const size = numbers.length;
  const normal = new Float64Array(size * size);
  for (let i = 0; i < patches.length; i++) {
    if (weights[i] === 0) continue;
    const rows = labSlopes(patches[i], white, terms, numbers, metrics[i]);
    for (let r = 0; r < 3; r++) {
      const miss = residuals[3 * i + r];
      for (let a = 0; a < size; a++) {
        const weighted = weights[i] * rows[r * size + a];
        if (weighted === 0) continue;
        right[a] += weighted * miss;
        for (let b = 0; b <= a; b++) normal[a * size + b] += weighted * rows[r * size + b];
      }
    }
  }
  for (let a = 0; a < size; a++) {
    for (let b = a + 1; b < size; b++) normal[a * size + b] = normal[b * size + a];
  }
  return normal;
}

/**
 * Slopes of a corrected colour with the camera numbers.
 * Shape:   metric: 9 numbers by rows that L, a, b are multiplied by -> 3 rows of as many values as
 *          numbers
 */
export function labSlopes(
  seen: Seen,
  white: Xyz,
  terms: Terms,
  numbers: Float64Array,
  metric: Float64Array,
): Float64Array {
  const size = numbers.length;
  const count = TERM_COUNT[terms];
  const rows = new Float64Array(3 * size);
  xyzOfCode(xyz, numbers, terms, seen);
  const here: Xyz = [xyz[0], xyz[1], xyz[2]];
  const jacobian = labJacobian(here, white);
  const turned = new Float64Array(9);
  for (let r = 0; r < 3; r++) {
    for (let x = 0; x < 3; x++) {
      for (let s = 0; s < 3; s++) turned[3 * r + x] += metric[3 * r + s] * jacobian[3 * s + x];
    }
  }
  termsOfCode(f, numbers, terms, seen);
  for (let r = 0; r < 3; r++) {
    for (let x = 0; x < 3; x++) {
      const at = r * size + BEFORE_MATRIX + x * count;
      for (let k = 0; k < count; k++) rows[at + k] = turned[3 * r + x] * f[k];
    }
  }
  for (let k = 0; k < BEFORE_MATRIX; k++) {
    const saved = numbers[k];
    numbers[k] = saved + STEP;
    xyzOfCode(moved, numbers, terms, seen);
    numbers[k] = saved;
    for (let r = 0; r < 3; r++) {
      let sum = 0;
      for (let x = 0; x < 3; x++) sum += (turned[3 * r + x] * (moved[x] - here[x])) / STEP;
      rows[r * size + k] = sum;
    }
  }
  return rows;
}
