import { deltaE2000 } from './difference.ts';
import { lchFromLab } from './spaces.ts';
import type { Lab } from './triples.ts';

/** Number of hue sectors of the edge. */
export const SECTORS = 72;
/** Mixes within this distance of a lightness count for it, L*. */
export const SLICE = 4;

/** Largest chroma by hue sector, 0 where there is no mix. */
export type Edge = readonly number[];

export const hueOfSector = (i: number) => ((i + 0.5) / SECTORS) * 360;
export const sectorOf = (hue: number) => Math.floor((hue / 360) * SECTORS) % SECTORS;

/** Between two reached hues at most this many sectors apart, all between is reached too (30 degrees). */
const BRIDGED = 6;

/**
 * How far colours reach from grey at one lightness.
 * Shape:   Lab of many mixes -> largest C*ab of each sector among those within `SLICE` of the lightness
 * Method:  the mixes are a sample, so that a sector may have none of its strongest. A mix of two mixes lies
 *          about on the line between them: the edge is never below the lines between its own points close by
 * Holds:   no sector is below the straight line between two others at most 30 degrees apart; none is above
 *          the strongest mix of the slice
 */
export function edgeOf(points: readonly Lab[], lightness: number): Edge {
  const edge = new Array<number>(SECTORS).fill(0);
  for (const lab of points) {
    if (Math.abs(lab[0] - lightness) > SLICE) continue;
    const [, chroma, hue] = lchFromLab(lab);
    const sector = sectorOf(hue);
    edge[sector] = Math.max(edge[sector], chroma);
  }
  return bridged(edge);
}

/** The same edge, never below the straight line between two sectors of it at most 30 degrees apart. */
export function bridged(edge: ArrayLike<number>): number[] {
  return Array.from({ length: SECTORS }, (_, i) => {
    let most = edge[i];
    for (let before = 1; before < BRIDGED; before++) {
      for (let after = 1; before + after <= BRIDGED; after++) {
        const one = edge[(i + SECTORS - before) % SECTORS];
        const other = edge[(i + after) % SECTORS];
        if (one > 0 && other > 0) most = Math.max(most, onLine(one, before, other, after));
      }
    }
    return most;
  });
}

const SINES = Array.from({ length: BRIDGED + 1 }, (_, n) => Math.sin((2 * Math.PI * n) / SECTORS));

/** Chroma where the line between two colours crosses a hue `before` and `after` sectors from them. */
function onLine(one: number, before: number, other: number, after: number): number {
  return (one * other * SINES[before + after]) / (one * SINES[before] + other * SINES[after]);
}

/** The colour closest to an aim, and its difference, dE00; undefined without colours. */
export function closestOf(
  points: readonly Lab[],
  aim: Lab,
): { readonly lab: Lab; readonly dE00: number } | undefined {
  // dE00 is slow, so that only colours near the closest by plain distance are tried.
  const apart = points.map((lab) => Math.hypot(lab[0] - aim[0], lab[1] - aim[1], lab[2] - aim[2]));
  const limit = 2 * apart.reduce((least, v) => Math.min(least, v), Number.POSITIVE_INFINITY) + 1;
  let best: { lab: Lab; dE00: number } | undefined;
  points.forEach((lab, i) => {
    if (apart[i] > limit) return;
    const dE00 = deltaE2000(aim, lab);
    if (best === undefined || dE00 < best.dE00) best = { lab, dE00 };
  });
  return best;
}

/** The hues where one edge is clearly farthest outside and inside another. */
export function comparedTo(
  edge: Edge,
  other: Edge,
): { readonly farther?: number; readonly nearer?: number } {
  const gains = edge.map((v, i) => v - other[i]);
  const most = gains.indexOf(Math.max(...gains));
  const least = gains.indexOf(Math.min(...gains));
  return {
    ...(gains[most] > CLEARLY ? { farther: most } : {}),
    ...(gains[least] < -CLEARLY ? { nearer: least } : {}),
  };
}

/** A difference in chroma that shows in a plane of this size. */
const CLEARLY = 2;
