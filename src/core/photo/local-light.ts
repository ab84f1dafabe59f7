import type { JointFit, JointShown } from './joint-light.ts';
import type { Point } from './plane-view.ts';

/** How far around a place the table shows the light there, mm. */
export const LOCAL_MM = 22;
const FARTHEST_MM = 60;
/** Spread of the logarithm by which the light departs from a field in places. */
const DEPARTS = 0.05;
/** Share of such a departure that is unsure: it may end beside the tile. */
const UNSURE = 0.35;

/**
 * How what is shown around a place differs from the field of a fit: a bent or a second shadow, a lamp too
 * close.
 * Shape:   what was shown, a fit of it, place in mm -> logarithm to add, and its standard deviation; next to
 *          nothing on a table with a strong pattern
 */
export function localLight(
  { mm, patchSpread, alike }: JointShown,
  fit: JointFit,
  [x, y]: Point,
): { readonly log: number; readonly spread: number } {
  const ofBlock = alike * fit.blockSpread ** 2;
  const around: { readonly miss: number; readonly weight: number }[] = [];
  let total = 0;
  for (let i = 0; i < mm.length; i++) {
    const squared = (mm[i][0] - x) ** 2 + (mm[i][1] - y) ** 2;
    if (squared > FARTHEST_MM ** 2) continue;
    const own = patchSpread[i];
    const variance = own === undefined ? ofBlock : own ** 2;
    const weight = Math.exp(-squared / (2 * LOCAL_MM ** 2)) / variance;
    around.push({ miss: fit.misses[i], weight });
    total += weight;
  }
  if (total === 0) return { log: 0, spread: 0 };
  around.sort((a, b) => a.miss - b.miss);
  let reached = 0;
  const middle = around.find(({ weight }) => {
    reached += weight;
    return reached >= total / 2;
  });
  const belief = DEPARTS ** 2 / (DEPARTS ** 2 + 1 / total);
  const log = belief * (middle?.miss ?? 0);
  return { log, spread: Math.hypot(Math.sqrt(belief / total), UNSURE * log) };
}
