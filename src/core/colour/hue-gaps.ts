import { invalidInput } from '../errors.ts';
import { lchFromLab } from './spaces.ts';
import type { Lab } from './triples.ts';

/** A stretch of the hue circle without a colour of the set. */
export interface HueGap {
  /** Degrees; the gap runs from the first to the second with rising angle, past 360 where it must. */
  readonly from: number;
  readonly to: number;
  /** Places in the set of the colours at its two ends. */
  readonly before: number;
  readonly after: number;
}

/** Below this chroma a colour has no clear hue; common practice, no source. */
export const HUED_CHROMA = 12;

/**
 * The widest stretches of the hue circle without a colour of a set.
 * Shape:   Labs -> gaps of at least `leastDegrees`, widest first; one colour leaves the whole
 *          circle
 * Units:   degrees of CIELAB hue angle
 * Refuses: a number that is not finite -> invalid-input
 * Holds:   colours of less chroma than HUED_CHROMA fill no gap; all gaps of any width together are
 *          360
 */
export function hueGaps(labs: readonly Lab[], leastDegrees: number): readonly HueGap[] {
  const hued = labs.flatMap((lab, place) => {
    if (!lab.every(Number.isFinite))
      throw invalidInput('A colour contains a value that is not a number.');
    const [, chroma, hue] = lchFromLab(lab);
    return chroma < HUED_CHROMA ? [] : [{ place, hue }];
  });
  hued.sort((one, other) => one.hue - other.hue);
  return hued
    .map(({ hue, place }, i) => {
      const next = hued[(i + 1) % hued.length];
      const to = i + 1 < hued.length ? next.hue : next.hue + 360;
      return { from: hue, to, before: place, after: next.place };
    })
    .filter(({ from, to }) => to - from >= leastDegrees)
    .sort((one, other) => other.to - other.from - (one.to - one.from));
}
