import { deltaE2000 } from '../../core/colour/difference.ts';
import { labFromLch, lchFromLab } from '../../core/colour/spaces.ts';
import type { Lab } from '../../core/colour/triples.ts';

/** Steps of a strip. */
const STEPS = 28;
/** A strip ends this far past the colour wanted. */
const BEYOND = 1.12;
/** Mixes of two and three clays stand for all: a step counts as reached this far from one, dE00. */
const BETWEEN = 1.5;

export interface ReachStrip {
  readonly axis: 'chroma' | 'lightness';
  readonly steps: readonly { readonly lab: Lab; readonly reached: boolean }[];
  /** Place of the colour wanted, 0-1. */
  readonly wantedAt: number;
  /** Place where the clays end on the side of the colour wanted, 0-1; undefined if nothing is reached. */
  readonly endAt: number | undefined;
}

/**
 * How far the clays reach towards a colour: from dull to bright at its hue and lightness, or from dark to
 * light at its hue and chroma.
 * Shape:   colours of many mixes, the colour wanted, tolerance in dE00 -> a strip of colours
 * Holds:   a step is reached where a mix is within tolerance of it
 */
export function reachStrip(
  points: readonly Lab[],
  aim: Lab,
  axis: ReachStrip['axis'],
  tolerance: number,
): ReachStrip {
  const [lightness, chroma, hue] = lchFromLab(aim);
  const most = axis === 'lightness' ? 100 : Math.max(20, chroma * BEYOND);
  const wanted = axis === 'lightness' ? lightness : chroma;
  const enough = Math.max(tolerance, BETWEEN);
  const steps = Array.from({ length: STEPS }, (_, i) => {
    const at = ((i + 0.5) / STEPS) * most;
    const lab: Lab =
      axis === 'lightness' ? labFromLch([at, chroma, hue]) : labFromLch([lightness, at, hue]);
    return { lab, reached: isReached(points, lab, enough) };
  });
  const wantedAt = Math.min(1, wanted / most);
  const towards = steps.slice(0, Math.max(1, Math.round(wantedAt * STEPS)));
  // From the dark end clays may come from above: light enough, but never so dark.
  const fromAbove = axis === 'lightness' && !towards.some(({ reached }) => reached);
  const last = fromAbove
    ? steps.findIndex(({ reached }) => reached)
    : steps.findLastIndex(({ reached }) => reached);
  return {
    axis,
    steps,
    wantedAt,
    endAt: last < 0 ? undefined : (fromAbove ? last : last + 1) / STEPS,
  };
}

function isReached(points: readonly Lab[], lab: Lab, enough: number): boolean {
  // dE00 is slow; it is never more than about as many units of plain distance near grey.
  const wide = 4 * enough;
  return points.some(
    (one) =>
      Math.abs(one[0] - lab[0]) < wide &&
      Math.abs(one[1] - lab[1]) < wide &&
      Math.abs(one[2] - lab[2]) < wide &&
      deltaE2000(lab, one) <= enough,
  );
}
