import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';

/** Two colours laid as one slab, to be folded and rolled along its length until they are blended. */
export interface SheetCut {
  /**
   * At even places across the slab, both sides included: how far the first colour reaches along its length,
   * mm; the second has the rest.
   */
  readonly firstMm: readonly number[];
  /** The most by which a blended sheet, cut straight from place to place, is off an even one, dE00. */
  readonly off: number;
}

/** Steps of the path between the two colours, dE00. */
const FINE = 0.4;
/** Halvings of the share at most, for steps that never get fine: a hundred-thousandth is no amount of clay. */
const HALVINGS = 16;
/** Places across the slab that are tried until the sheet is even enough. */
const PLACES = [7, 11, 16, 21, 31] as const;
/** No eye tells a sheet from an even one by this, dE00. */
const EVEN_ENOUGH = 1.2;
/** Lengths are cut by a ruler. */
const RULER_MM = 0.5;
/** Points looked at between two places. */
const BETWEEN = 6;

/**
 * Where to cut two colours so that the sheet blended from them is even to the eye.
 * Shape:   the colour at a share of the second, 0-1; length of the slab in mm -> lengths at even places
 * Method:  the path between the colours is measured in steps of 0.4 dE00 at most; a share is even where its part of
 *          that path is its part of the way across. The fewest places are taken that bring the sheet within
 *          1.2 dE00, else the most
 * Holds:   folding and rolling along the length blends along it and not across it
 */
export function evenSheetCut(colourAt: (share: number) => Lab, lengthMm: number): SheetCut {
  const path = pathOf(colourAt);
  let cut: SheetCut | undefined;
  for (const places of PLACES) {
    const firstMm = Array.from({ length: places }, (_, i) => {
      const first = lengthMm * (1 - shareAt(path, i / (places - 1)));
      return Math.round(first / RULER_MM) * RULER_MM;
    });
    const off = offEven(path, firstMm, lengthMm);
    if (cut === undefined || off < cut.off) cut = { firstMm, off };
    if (off <= EVEN_ENOUGH) break;
  }
  return cut!;
}

interface Point {
  readonly share: number;
  readonly lab: Lab;
  /** Length of the path so far, 0-1. */
  readonly reached: number;
}

/** The path from the first colour to the second, in steps that the eye hardly sees. */
function pathOf(colourAt: (share: number) => Lab): readonly Point[] {
  const points: { share: number; lab: Lab }[] = [];
  const between = (from: { share: number; lab: Lab }, to: typeof from, halvings: number) => {
    if (halvings === 0 || (halvings < HALVINGS - 2 && deltaE2000(from.lab, to.lab) <= FINE)) return;
    const share = (from.share + to.share) / 2;
    const middle = { share, lab: colourAt(share) };
    between(from, middle, halvings - 1);
    points.push(middle);
    between(middle, to, halvings - 1);
  };
  const [first, last] = [0, 1].map((share) => ({ share, lab: colourAt(share) }));
  points.push(first);
  between(first, last, HALVINGS);
  points.push(last);
  const reached = [0];
  points.slice(1).forEach(({ lab }, i) => {
    reached.push(reached[i] + deltaE2000(points[i].lab, lab));
  });
  const whole = reached[reached.length - 1] || 1;
  return points.map((point, i) => ({ ...point, reached: reached[i] / whole }));
}

/** The share that an even sheet has at a part of the way across. */
function shareAt(path: readonly Point[], across: number): number {
  const { from, to, part } = placeOn(path, 'reached', across);
  return from.share + part * (to.share - from.share);
}

function colourOn(path: readonly Point[], by: 'share' | 'reached', value: number): Lab {
  const { from, to, part } = placeOn(path, by, value);
  const at = (axis: 0 | 1 | 2) => from.lab[axis] + part * (to.lab[axis] - from.lab[axis]);
  return [at(0), at(1), at(2)];
}

/** Between which two points a value is; both rise along the path. */
function placeOn(path: readonly Point[], by: 'share' | 'reached', value: number) {
  let [low, high] = [0, path.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (path[middle][by] < value) low = middle;
    else high = middle;
  }
  const [from, to] = [path[low], path[high]];
  const step = to[by] - from[by];
  return { from, to, part: step === 0 ? 1 : (value - from[by]) / step };
}

/** The most that a slab cut at these lengths is off an even one; the path is fine enough to be read from. */
function offEven(path: readonly Point[], firstMm: readonly number[], lengthMm: number): number {
  let most = 0;
  for (let i = 0; i + 1 < firstMm.length; i++) {
    for (let k = 0; k < BETWEEN; k++) {
      const part = k / BETWEEN;
      const first = firstMm[i] + part * (firstMm[i + 1] - firstMm[i]);
      const cut = colourOn(path, 'share', 1 - first / lengthMm);
      const even = colourOn(path, 'reached', (i + part) / (firstMm.length - 1));
      most = Math.max(most, deltaE2000(cut, even));
    }
  }
  return most;
}
