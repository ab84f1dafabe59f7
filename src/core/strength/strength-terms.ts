import type { Chance } from '../numeric/seeded-chance.ts';
import { halfNormalAt } from './half-normal.ts';

/** Shares of the strong line at which the curve bends. */
export const KNOTS = [0, 1 / 8, 1 / 4, 1 / 2, 3 / 4, 1] as const;
const RISES = KNOTS.length - 1;

/**
 * What is believed of two lines before any test, and stated with every answer. Ours, and weak: no source;
 * set so that the weak line alone may tolerate a strain anywhere from 0.3 % to 30 %. Mean and deviation:
 * - base: log of the strain at which the weak line alone holds in half of all cases
 * - translucent, powder: what a share of 1 costs, in log strain
 * - softness: log of the width of the logistic step from one grade to the next; gap: between the grades
 * - batch: log of the scatter from bake to bake; pinch: log strain of a pinch
 * - dip: log of what the blend between the two lines loses at its lowest; dipAt: where that is, as a logit
 * - riseScale: the curve gains five increments, each a gamma variable of shape 1/2 and this scale, so that
 *   their shares of the whole gain are a flat-tailed simplex and the whole gain is 1.25 +- 0.8 in log strain
 */
export const STRENGTH_PRIOR = {
  base: [Math.log(0.03), 1.2],
  translucent: [0.3, 0.5],
  powder: [2, 3],
  softness: [Math.log(0.2), 0.4],
  gap: [Math.log(0.35), 0.5],
  batch: [Math.log(0.35), 0.6],
  pinch: [0, 0.7],
  dip: [Math.log(0.8), 0.4],
  dipAt: [0, 0.8],
  riseScale: 0.5,
} as const;

/** Places of the coordinates, each a standard normal variable before any test; the luck of each bake follows. */
export const Z = {
  base: 0,
  rise: 1,
  translucent: 1 + RISES,
  powder: 2 + RISES,
  softness: 3 + RISES,
  gap: 4 + RISES,
  batch: 7 + RISES,
  pinch: 8 + RISES,
  dip: 9 + RISES,
  dipAt: 10 + RISES,
  luck: 11 + RISES,
} as const;

/**
 * Places in a row of terms: the log strain tolerated at each knot without a dip, what translucent clay and
 * powder cost, the width of a grade's step, where grades 1 to 4 begin in log strain over what is tolerated
 * (whitening that stays begins at 0), the scatter of bakes, a pinch, and what the dip takes and where.
 */
export const AT = {
  knots: 0,
  translucent: KNOTS.length,
  powder: KNOTS.length + 1,
  softness: KNOTS.length + 2,
  /** Grade 0 begins nowhere: grade g begins at `starts + g`. */
  starts: KNOTS.length + 2,
  batch: KNOTS.length + 7,
  pinch: KNOTS.length + 8,
  dip: KNOTS.length + 9,
  dipAt: KNOTS.length + 10,
} as const;
/** Terms in a row. */
export const TERMS = KNOTS.length + 11;

/** The terms that a row of coordinates stands for, into a row of `terms`. */
export function fillTerms(z: Float64Array, from: number, terms: Float64Array, to: number): void {
  const { base, translucent, powder, softness, gap, batch, pinch, dip, dipAt, riseScale } =
    STRENGTH_PRIOR;
  let knot = base[0] + base[1] * z[from + Z.base];
  terms[to] = knot;
  for (let i = 0; i < RISES; i++) {
    // A gamma variable of shape 1/2 is half a squared normal one.
    knot += (riseScale / 2) * halfNormalAt(z[from + Z.rise + i]) ** 2;
    terms[to + i + 1] = knot;
  }
  terms[to + AT.translucent] = translucent[0] + translucent[1] * z[from + Z.translucent];
  terms[to + AT.powder] = powder[0] + powder[1] * z[from + Z.powder];
  terms[to + AT.softness] = Math.exp(softness[0] + softness[1] * z[from + Z.softness]);
  const fades = Math.exp(gap[0] + gap[1] * z[from + Z.gap]);
  const cracks = Math.exp(gap[0] + gap[1] * z[from + Z.gap + 1]);
  terms[to + AT.starts + 1] = -fades;
  terms[to + AT.starts + 2] = 0;
  terms[to + AT.starts + 3] = cracks;
  terms[to + AT.starts + 4] = cracks + Math.exp(gap[0] + gap[1] * z[from + Z.gap + 2]);
  terms[to + AT.batch] = Math.exp(batch[0] + batch[1] * z[from + Z.batch]);
  terms[to + AT.pinch] = pinch[0] + pinch[1] * z[from + Z.pinch];
  terms[to + AT.dip] = Math.exp(dip[0] + dip[1] * z[from + Z.dip]);
  terms[to + AT.dipAt] = 1 / (1 + Math.exp(-dipAt[0] - dipAt[1] * z[from + Z.dipAt]));
}

/** One row of terms as believed before any test. */
export function drawTerms({ normal }: Chance): Float64Array {
  const terms = new Float64Array(TERMS);
  fillTerms(Float64Array.from({ length: Z.luck }, normal), 0, terms, 0);
  return terms;
}

/** Between which knots a share is, and how far along. */
export function placeOfShare(share: number): { readonly knot: number; readonly along: number } {
  let knot = 0;
  while (knot < RISES - 1 && share > KNOTS[knot + 1]) knot++;
  return { knot, along: (share - KNOTS[knot]) / (KNOTS[knot + 1] - KNOTS[knot]) };
}

/**
 * Log of the strain that a share tolerates, for a row of terms.
 * Holds:   never falls with a larger share, unless `dips`: the curve then sags between the two lines by a
 *          tent that is 0 at both ends and largest at one share
 */
export function toleranceAt(
  terms: Float64Array,
  from: number,
  share: number,
  { knot, along }: ReturnType<typeof placeOfShare>,
  dips: boolean,
): number {
  const below = terms[from + knot];
  const rising = below + along * (terms[from + knot + 1] - below);
  if (!dips) return rising;
  const lowest = terms[from + AT.dipAt];
  const tent = share < lowest ? share / lowest : (1 - share) / (1 - lowest);
  return rising - terms[from + AT.dip] * tent;
}
