import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';

/** A point of the cut, mm: how far across the slab, and how far the first colour reaches along its length there. */
export interface CutPoint {
  readonly acrossMm: number;
  readonly firstMm: number;
}

/** Two colours laid as one square slab, to be folded and rolled along its length until they are blended. */
export interface SheetCut {
  /** Cut straight from point to point; the second colour has the rest. */
  readonly cut: readonly CutPoint[];
  /** The most by which the blended sheet is off an even one, dE00. */
  readonly off: number;
}

/** Steps of the path between the two colours, dE00. */
const FINE = 0.4;
/** Halvings of the share at most, for steps that never get fine: a hundred-thousandth is no amount of clay. */
const HALVINGS = 16;
/** No eye tells a sheet from an even one by this, dE00. */
const EVEN_ENOUGH = 1.2;
/** More points are too many to measure. */
const MOST_POINTS = 16;
/** Lengths are cut by a ruler. */
const RULER_MM = 0.5;
/** A point that is moved for less would be moved for ever, dE00. */
const LEAST_GAIN = 1e-6;
/** Parts of a straight cut that are looked at. */
const LOOKS = 8;

/**
 * Where to cut two colours so that the sheet blended from them is even to the eye.
 * Shape:   the colour at a share of the second, 0-1; side of the slab in mm -> points of the cut, in order
 * Method:  the path between the colours is measured in steps of 0.4 dE00 at most; a share is even where its
 *          part of that path is its part of the way across. From a straight cut on, a point is added where the
 *          sheet is most off, until it is within 1.2 dE00 or the ruler leaves no room; then points that matter little
 *          are left out, down to 16, and the others balanced. Points are on marks of a ruler along the length, as near
 *          a strong colour half a millimetre there is much
 * Holds:   folding and rolling along the length blends along it and not across it
 */
export function evenSheetCut(colourAt: (share: number) => Lab, sideMm: number): SheetCut {
  const path = pathOf(colourAt);
  const cut: CutPoint[] = [
    { acrossMm: 0, firstMm: sideMm },
    { acrossMm: sideMm, firstMm: 0 },
  ];
  for (;;) {
    // Next to a strong colour two marks of the ruler may leave no room for a point: then the next worst place has it.
    const worst = cut
      .slice(1)
      .flatMap((to, i) =>
        looksBetween(path, cut[i], to, sideMm)
          .map(({ off, across }) => ({ i, off, point: pointFor(path, across, sideMm) }))
          .filter(({ point }) => isBetween(point, cut[i], to)),
      )
      .reduce((most, place) => (place.off > most.off ? place : most), {
        i: 0,
        off: 0,
        point: cut[0],
      });
    if (worst.off <= EVEN_ENOUGH) break;
    cut.splice(worst.i + 1, 0, worst.point);
  }
  return balanced(path, thinned(path, cut, sideMm), sideMm);
}

const isBetween = (point: CutPoint, before: CutPoint, after: CutPoint) =>
  point.firstMm < before.firstMm &&
  point.firstMm > after.firstMm &&
  point.acrossMm > before.acrossMm &&
  point.acrossMm < after.acrossMm;

/** The point on the even curve closest to a part of the way across, with its length on a mark of the ruler. */
function pointFor(path: readonly Point[], across: number, sideMm: number): CutPoint {
  const onRuler = (mm: number) => Math.round(mm / RULER_MM) * RULER_MM;
  const share = valueOn(path, 'share', 'reached', across);
  const firstMm = Math.min(sideMm - RULER_MM, Math.max(RULER_MM, onRuler(sideMm * (1 - share))));
  const acrossMm = onRuler(sideMm * valueOn(path, 'reached', 'share', 1 - firstMm / sideMm));
  return { acrossMm, firstMm };
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

type Along = 'share' | 'reached';

/** One figure of the path where another has a value; both rise along it. */
function valueOn(path: readonly Point[], of: Along, where: Along, value: number): number {
  const { from, to, part } = placeOn(path, where, value);
  return from[of] + part * (to[of] - from[of]);
}

/** The path is fine enough to read colours from it. */
function colourOn(path: readonly Point[], where: Along, value: number): Lab {
  const { from, to, part } = placeOn(path, where, value);
  const at = (axis: 0 | 1 | 2) => from.lab[axis] + part * (to.lab[axis] - from.lab[axis]);
  return [at(0), at(1), at(2)];
}

/** Between which two points a value is. */
function placeOn(path: readonly Point[], where: Along, value: number) {
  let [low, high] = [0, path.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (path[middle][where] < value) low = middle;
    else high = middle;
  }
  const [from, to] = [path[low], path[high]];
  const step = to[where] - from[where];
  return { from, to, part: step === 0 ? 1 : (value - from[where]) / step };
}

/** Without the points that matter least: all that the eye does not miss, and those that are too many to measure. */
function thinned(path: readonly Point[], points: readonly CutPoint[], sideMm: number): CutPoint[] {
  const cut = [...points];
  for (;;) {
    const least = cut
      .slice(1, -1)
      .map((_, i) => ({ at: i + 1, off: worstBetween(path, cut[i], cut[i + 2], sideMm) }))
      .reduce((one, other) => (other.off < one.off ? other : one), { at: 0, off: Infinity });
    if (least.at === 0 || (cut.length <= MOST_POINTS && least.off > EVEN_ENOUGH)) return cut;
    cut.splice(least.at, 1);
  }
}

/**
 * The same points moved across by marks of the ruler, as long as that helps: a straight cut between two points of
 * a curve is on one side of it, so points a little on the other side halve what it is off.
 */
function balanced(path: readonly Point[], points: readonly CutPoint[], sideMm: number): SheetCut {
  const cut = [...points];
  const offBetween = (i: number) => worstBetween(path, cut[i], cut[i + 1], sideMm);
  const offAround = (i: number) => Math.max(offBetween(i - 1), offBetween(i));
  for (let moved = true; moved; ) {
    moved = false;
    for (let i = 1; i + 1 < cut.length; i++) {
      for (const byMm of [-RULER_MM, RULER_MM]) {
        const [point, off] = [cut[i], offAround(i)];
        cut[i] = { ...point, acrossMm: point.acrossMm + byMm };
        if (isBetween(cut[i], cut[i - 1], cut[i + 1]) && offAround(i) < off - LEAST_GAIN)
          moved = true;
        else cut[i] = point;
      }
    }
  }
  return { cut, off: Math.max(...cut.slice(1).map((_, i) => offBetween(i))) };
}

/** How much the sheet is off an even one, dE00, at some places of the straight cut between two points. */
function looksBetween(path: readonly Point[], from: CutPoint, to: CutPoint, sideMm: number) {
  return Array.from({ length: LOOKS - 1 }, (_, look) => {
    const part = (look + 1) / LOOKS;
    const across = (from.acrossMm + part * (to.acrossMm - from.acrossMm)) / sideMm;
    const first = (from.firstMm + part * (to.firstMm - from.firstMm)) / sideMm;
    const seen = colourOn(path, 'share', 1 - first);
    return { across, off: deltaE2000(seen, colourOn(path, 'reached', across)) };
  });
}

const worstBetween = (...look: Parameters<typeof looksBetween>) =>
  Math.max(...looksBetween(...look).map(({ off }) => off));
