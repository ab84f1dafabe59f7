import type { Chance } from '../numeric/seeded-chance.ts';

/** Shares of the strong line at which the curve bends. */
export const KNOTS = [0, 1 / 8, 1 / 4, 1 / 2, 3 / 4, 1] as const;
const RISES = KNOTS.length - 1;

/**
 * What is believed of two lines before any test, and stated with every answer. Ours, and weak: no source;
 * set so that the weak line alone may tolerate a strain anywhere from 0.3 % to 30 %.
 * - base: log of the strain at which the weak line alone holds in half of all cases
 * - rise: the curve gains five increments, each a gamma variable, so that their shares of the whole gain are
 *   a flat-tailed simplex and the whole gain is 1.25 +- 0.8 in log strain
 * - translucent, powder: what a share of 1 costs, in log strain
 * - softness: width of the logistic step from one grade to the next; gap: between the grades
 * - batch: scatter from bake to bake; pinch: log strain of a pinch
 */
export const STRENGTH_PRIOR = {
  base: [Math.log(0.03), 1.2],
  riseShape: 0.5,
  riseScale: 0.5,
  translucent: [0.3, 0.5],
  powder: [2, 3],
  softness: [Math.log(0.2), 0.4],
  gap: [Math.log(0.35), 0.5],
  batch: [Math.log(0.15), 0.5],
  pinch: [0, 0.7],
  dip: [Math.log(0.8), 0.4],
  dipAt: [0, 0.8],
} as const;

/** Where each term stands in a row of terms; a term for each batch follows. */
export const AT = {
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
  ofBatches: 11 + RISES,
} as const;

/** Terms that are normal in the prior, with mean and deviation; a rise is not. */
function normalTerms(batches: number): readonly (readonly [number, number, number])[] {
  const p = STRENGTH_PRIOR;
  return [
    [AT.base, ...p.base],
    [AT.translucent, ...p.translucent],
    [AT.powder, ...p.powder],
    [AT.softness, ...p.softness],
    [AT.gap, ...p.gap],
    [AT.gap + 1, ...p.gap],
    [AT.gap + 2, ...p.gap],
    [AT.batch, ...p.batch],
    [AT.pinch, ...p.pinch],
    [AT.dip, ...p.dip],
    [AT.dipAt, ...p.dipAt],
    ...Array.from({ length: batches }, (_, b) => [AT.ofBatches + b, 0, 1] as const),
  ];
}

/** One row of terms from the prior. */
export function drawTerms(batches: number, { normal }: Chance): Float64Array {
  const terms = new Float64Array(AT.ofBatches + batches);
  for (const [at, mean, deviation] of normalTerms(batches)) terms[at] = mean + deviation * normal();
  for (let i = 0; i < RISES; i++) {
    // A gamma variable of shape 1/2 is half a squared normal one.
    terms[AT.rise + i] = Math.log(Math.max(1e-12, (STRENGTH_PRIOR.riseScale * normal() ** 2) / 2));
  }
  return terms;
}

/** Log density of the prior, up to a constant. */
export function priorOf(batches: number): (terms: Float64Array, from: number) => number {
  const normal = normalTerms(batches);
  const { riseShape, riseScale } = STRENGTH_PRIOR;
  return (terms, from) => {
    let sum = 0;
    for (const [at, mean, deviation] of normal) {
      const off = (terms[from + at] - mean) / deviation;
      sum -= (off * off) / 2;
    }
    for (let i = 0; i < RISES; i++) {
      const rise = terms[from + AT.rise + i];
      sum += riseShape * rise - Math.exp(rise) / riseScale;
    }
    return sum;
  };
}

/** Between which knots a share is, and how far along. */
export function placeOfShare(share: number): { readonly knot: number; readonly along: number } {
  let knot = 0;
  while (knot < RISES - 1 && share > KNOTS[knot + 1]) knot++;
  return { knot, along: (share - KNOTS[knot]) / (KNOTS[knot + 1] - KNOTS[knot]) };
}

/** Log of the strain tolerated at every knot, without a dip, into `knots`. */
export function fillKnots(terms: Float64Array, from: number, knots: Float64Array): void {
  knots[0] = terms[from + AT.base];
  for (let i = 0; i < RISES; i++) knots[i + 1] = knots[i] + Math.exp(terms[from + AT.rise + i]);
}

/** What a dip takes from a share: a tent that is 0 at both ends, and largest at one share. */
export function dipAt(terms: Float64Array, from: number, share: number): number {
  const lowest = 1 / (1 + Math.exp(-terms[from + AT.dipAt]));
  const tent = share < lowest ? share / lowest : (1 - share) / (1 - lowest);
  return Math.exp(terms[from + AT.dip]) * tent;
}

const scratch = new Float64Array(KNOTS.length);

/** Log of the strain that a share tolerates; with `dips`, the curve sags between the two lines. */
export function toleranceAt(
  terms: Float64Array,
  from: number,
  share: number,
  { knot, along }: ReturnType<typeof placeOfShare>,
  dips: boolean,
): number {
  fillKnots(terms, from, scratch);
  const rising = scratch[knot] + along * (scratch[knot + 1] - scratch[knot]);
  return dips ? rising - dipAt(terms, from, share) : rising;
}

/** Where grade `above` begins, in log strain over what is tolerated: whitening that stays begins at 0. */
export function gradeStart(terms: Float64Array, from: number, above: number): number {
  const gap = (i: number) => Math.exp(terms[from + AT.gap + i]);
  if (above === 1) return -gap(0);
  if (above === 2) return 0;
  return above === 3 ? gap(1) : gap(1) + gap(2);
}
