import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { invalidInput } from '../errors.ts';
import { plusMinusOf, sideInWords, sidesOf, type VerdictWord, verdictWord } from './verdict.ts';

/**
 * One colour read of a tile, with the uncertainty of this reading and that shared by its whole
 * photo.
 */
export interface ShiftReading {
  readonly lab: Lab;
  /** Covariance of this reading alone, 3 x 3 by rows. */
  readonly own: ArrayLike<number>;
  /** The error of a photo's correction, the same for all readings of that photo. */
  readonly photo?: { readonly id: string; readonly covariance: ArrayLike<number> };
}

/** One way in which baking moved the colour, with its own ±. */
export interface ShiftSide {
  /** As in `sidesOf`. */
  readonly word: string;
  readonly dE00: number;
  readonly plusMinus: number;
  /** Whether it is more than twice its ±. */
  readonly seen: boolean;
}

export interface BakeShift {
  /** Means of the readings. */
  readonly raw: Lab;
  readonly baked: Lab;
  readonly dE00: number;
  /** Size of the ± of the difference, dE00. */
  readonly plusMinus: number;
  /** Verdict of the raw colour beside the baked one; never finer than the ± allows. */
  readonly word: VerdictWord;
  /** Whether the shift is more than twice its ±. */
  readonly seen: boolean;
  /** Lightness, chroma and hue, the largest first. */
  readonly sides: readonly ShiftSide[];
  readonly sentence: string;
}

/**
 * How many times its ± a shift must reach to be reported. The ± is a root mean square: noise alone
 * passes twice that at most about once in 22 times when it all lies along one axis, more rarely
 * otherwise.
 */
const SEEN = 2;

/** Smaller moves are left out of the sentence, dE00; half of what half of people see [Paravina2015]. */
const LEAST_REPORTED = 0.4;

/**
 * How baking changed a tile, from readings of it raw and baked.
 * Shape:   one or more readings of each, all of one tile under one light -> shift with its ±, words
 * Units:   CIELAB, dE00
 * Refuses: no readings of one side, numbers that are not finite, a matrix that is no covariance ->
 *          invalid-input
 * Holds:   the word is that of the larger of shift and ±. An error of a photo's correction that is
 *          the same for a raw and a baked reading is not counted as a shift: it cancels between
 *          readings of one photo, and only between those. It is assumed equal for both, which fits
 *          colours not far apart
 */
export function bakeShift(raw: readonly ShiftReading[], baked: readonly ShiftReading[]): BakeShift {
  if (raw.length === 0 || baked.length === 0) {
    throw invalidInput('A bake shift needs a raw and a baked reading.');
  }
  const [before, after] = [meanOf(raw), meanOf(baked)];
  const covariance = differenceCovariance(raw, baked);
  const dE00 = deltaE2000(before, after);
  const plusMinus = plusMinusOf(after, covariance);
  if (!Number.isFinite(dE00 + plusMinus)) {
    throw invalidInput('A reading of a tile contains a value that is not a number.');
  }
  const word = verdictWord(Math.max(dE00, plusMinus));
  const seen = dE00 > SEEN * plusMinus && dE00 > 0;
  const found = sidesOf(before, after);
  const greyish = !found.some((side) => side.word === 'brighter' || side.word === 'duller');
  const sides = found.map(({ word: way, size }) => {
    const own = plusMinusOf(before, along(axisOf(way, before, greyish), covariance));
    return { word: way, dE00: size, plusMinus: own, seen: size > SEEN * own && size > 0 };
  });
  const sentence = sentenceOf(dE00, plusMinus, word, seen, sides);
  return { raw: before, baked: after, dE00, plusMinus, word, seen, sides, sentence };
}

function meanOf(readings: readonly ShiftReading[]): Lab {
  const at = (i: 0 | 1 | 2) => readings.reduce((sum, { lab }) => sum + lab[i], 0) / readings.length;
  return [at(0), at(1), at(2)];
}

/** A photo's error counts in the difference by how much more its readings weigh on one side. */
function differenceCovariance(
  raw: readonly ShiftReading[],
  baked: readonly ShiftReading[],
): Float64Array {
  const sum = new Float64Array(9);
  const photos = new Map<string, { weight: number; covariance: ArrayLike<number> }>();
  for (const [readings, sign] of [
    [raw, -1],
    [baked, 1],
  ] as const) {
    const weight = sign / readings.length;
    for (const { own, photo } of readings) {
      addTo(sum, own, weight * weight);
      if (photo === undefined) continue;
      const known = photos.get(photo.id);
      if (known === undefined) photos.set(photo.id, { weight, covariance: photo.covariance });
      else known.weight += weight;
    }
  }
  for (const { weight, covariance } of photos.values()) addTo(sum, covariance, weight * weight);
  return sum;
}

function addTo(sum: Float64Array, covariance: ArrayLike<number>, factor: number): void {
  if (covariance.length !== 9) throw invalidInput('A covariance of a colour has 3 by 3 numbers.');
  for (let i = 0; i < 9; i++) sum[i] += covariance[i] * factor;
}

/** Unit vector of a side in L, a, b; hue lies across the first colour's own chroma. */
function axisOf(word: string, from: Lab, greyish: boolean): Lab {
  if (word === 'lighter' || word === 'darker') return [1, 0, 0];
  if (greyish) return word === 'redder' || word === 'greener' ? [0, 1, 0] : [0, 0, 1];
  const chroma = Math.hypot(from[1], from[2]);
  const [ca, cb] = chroma === 0 ? [1, 0] : [from[1] / chroma, from[2] / chroma];
  return word === 'brighter' || word === 'duller' ? [0, ca, cb] : [0, -cb, ca];
}

/** The variance of a covariance along one axis. */
function along(axis: Lab, covariance: ArrayLike<number>): Float64Array {
  const variance = axis.reduce(
    (sum, v, i) => sum + axis.reduce((s, w, j) => s + v * w * covariance[i * 3 + j], 0),
    0,
  );
  return Float64Array.from({ length: 9 }, (_, i) => {
    return axis[Math.trunc(i / 3)] * axis[i % 3] * Math.max(0, variance);
  });
}

const COMPARED: Readonly<Record<VerdictWord, string>> = {
  same: 'the raw clay shows the baked colour',
  match: 'the raw clay matches the baked colour',
  close: 'the raw clay is close to the baked colour',
  family: 'the raw clay is of the same family as the baked colour',
  different: 'judge this colour baked only',
};

function sentenceOf(
  dE00: number,
  plusMinus: number,
  word: VerdictWord,
  seen: boolean,
  sides: readonly ShiftSide[],
): string {
  const figures = `${dE00.toFixed(1)} ± ${plusMinus.toFixed(1)} dE00`;
  const held = verdictWord(dE00) === word ? '' : ', as far as these readings show';
  const comparison = `${COMPARED[word]}${held}`;
  if (dE00 === 0 && plusMinus === 0) return `Baking does not change it; ${comparison}.`;
  if (!seen) return `These readings show no shift (${figures}); ${comparison}.`;
  const reported = sides.filter((side) => side.seen && side.dE00 >= LEAST_REPORTED);
  const way =
    reported.length === 0
      ? 'Baking hardly changes it'
      : `Baking makes it ${reported.map(({ word: side, dE00: size }) => sideInWords({ word: side, size })).join(' and ')}`;
  return `${way} (${figures}); ${comparison}.`;
}
