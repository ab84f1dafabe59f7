import type { Point } from './plane-view.ts';

/** Difference between paper samples and a smooth light. */
export interface ShownBeside {
  /** Places of the samples, mm. */
  readonly places: readonly Point[];
  /** Logarithm over the smooth light, for each channel. */
  readonly beside: readonly (readonly [number, number, number])[];
}

/** How far a piece of paper shows the light around it, mm. */
const LOCAL_MM = 12;
/** Weight of the belief that the smooth light is right, in samples. */
const SMOOTH_WORTH = 2;

/**
 * How the paper around a place differs from the smooth light: the edge of a shadow, a lamp too
 * near.
 * Shape:   light, place in mm, index of a sample that does not count -> logarithm for each channel
 */
export function lightBeside(
  light: ShownBeside,
  [x, y]: Point,
  without = -1,
): [number, number, number] {
  const near: { readonly index: number; readonly weight: number }[] = [];
  let total = 0;
  for (let index = 0; index < light.places.length; index++) {
    if (index === without) continue;
    const [px, py] = light.places[index];
    const squared = (px - x) ** 2 + (py - y) ** 2;
    if (squared > 9 * LOCAL_MM * LOCAL_MM) continue;
    const weight = Math.exp(-squared / (2 * LOCAL_MM * LOCAL_MM));
    total += weight;
    near.push({ index, weight });
  }
  const belief = total / (total + SMOOTH_WORTH);
  return [0, 1, 2].map((c) => belief * weightedMedian(near, total, light.beside, c)) as [
    number,
    number,
    number,
  ];
}

/** Dirt and things on the paper do not pull a median. */
function weightedMedian(
  near: readonly { readonly index: number; readonly weight: number }[],
  total: number,
  values: ShownBeside['beside'],
  channel: number,
): number {
  let reached = 0;
  for (const { index, weight } of near.toSorted(
    (a, b) => values[a.index][channel] - values[b.index][channel],
  )) {
    reached += weight;
    if (reached >= total / 2) return values[index][channel];
  }
  return 0;
}
