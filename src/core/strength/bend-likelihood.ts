import { type BendResultRow, RESULTS } from './bend-results.ts';
import { AT, fillTerms, KNOTS, placeOfShare, TERMS, toleranceAt, Z } from './strength-terms.ts';

const BEST = 0;
const WORST = RESULTS.length - 1;
/** No result is less likely than this: a slip of the hand. */
const LEAST = 1e-12;
/** Powers of e beyond this are as good as endless, and two of them can still be multiplied. */
const MOST_POWER = 300;

/** How likely the tests are at a row of coordinates, and which of the coordinates they speak of. */
export interface BendLikelihood {
  /** Coordinates in a row. */
  readonly width: number;
  /** Coordinates that change how likely the tests are; the others stay as believed before. */
  readonly live: readonly number[];
  readonly logAt: (z: Float64Array, from: number) => number;
}

/**
 * Shape:   tests, whether the curve may dip -> log likelihood of a row of coordinates
 * Method:  x = ln strain - tolerance(share) + translucent + powder + batch; a specimen passes the start of
 *          a grade with a logistic chance. The chance between two starts a < b is
 *          e^x (e^-a - e^-b) / ((1 + e^(x-a)) (1 + e^(x-b))), without a difference of two near-equal numbers
 * Source:  ordinal steps [McCullagh1980]
 */
export function bendLikelihood(tests: readonly BendResultRow[], dips: boolean): BendLikelihood {
  const batches = [...new Set(tests.map(({ batch }) => batch))];
  const shares = [...new Set(tests.map(({ share }) => share))];
  const places = shares.map(placeOfShare);
  // Columns of numbers: a fit asks for the likelihood ten thousand times.
  const logStrain = Float64Array.from(tests, ({ strain }) => Math.log(strain));
  const translucent = Float64Array.from(tests, (test) => test.translucent);
  const powder = Float64Array.from(tests, (test) => test.powder);
  const pinched = Uint8Array.from(tests, ({ rankOnly }) => (rankOnly ? 1 : 0));
  const grades = Uint8Array.from(tests, ({ grade }) => grade);
  const shareAt = Int32Array.from(tests, ({ share }) => shares.indexOf(share));
  const luckAt = Int32Array.from(tests, ({ batch }) => Z.luck + batches.indexOf(batch));
  const tolerated = new Float64Array(shares.length);
  const terms = new Float64Array(TERMS);
  // e^-start for each grade, in widths of a step.
  const starts = new Float64Array(RESULTS.length);
  const logAt = (z: Float64Array, from: number): number => {
    fillTerms(z, from, terms, 0);
    const soft = terms[AT.softness];
    for (let grade = 1; grade <= WORST; grade++) {
      starts[grade] = powerOf(-terms[AT.starts + grade] / soft);
    }
    for (let i = 0; i < shares.length; i++) {
      tolerated[i] = toleranceAt(terms, 0, shares[i], places[i], dips);
    }
    const [costsT, costsP, scatter] = [terms[AT.translucent], terms[AT.powder], terms[AT.batch]];
    let sum = 0;
    let product = 1;
    for (let i = 0; i < grades.length; i++) {
      const x =
        (pinched[i] === 1 ? terms[AT.pinch] : logStrain[i]) -
        tolerated[shareAt[i]] +
        costsT * translucent[i] +
        costsP * powder[i] +
        scatter * z[from + luckAt[i]];
      const power = powerOf(x / soft);
      const grade = grades[i];
      const under = power * starts[grade];
      const over = grade === WORST ? 0 : power * starts[grade + 1];
      const chance = grade === BEST ? 1 / (1 + over) : (under - over) / ((1 + under) * (1 + over));
      product *= Math.max(LEAST, chance);
      if (product < 1e-200) {
        sum += Math.log(product);
        product = 1;
      }
    }
    return sum + Math.log(product);
  };
  return { width: Z.luck + batches.length, live: liveOf(tests, batches.length, dips), logAt };
}

function powerOf(x: number): number {
  return Math.exp(Math.max(-MOST_POWER, Math.min(MOST_POWER, x)));
}

function liveOf(tests: readonly BendResultRow[], batches: number, dips: boolean): number[] {
  if (tests.length === 0) return [];
  const some = (is: (test: BendResultRow) => boolean, ...at: readonly number[]) =>
    tests.some(is) ? at : [];
  const between = ({ share }: BendResultRow) => share > 0 && share < 1;
  return [
    Z.base,
    // A rise shows only in shares beyond the knot where it begins.
    ...KNOTS.slice(0, -1).flatMap((knot, i) => some(({ share }) => share > knot, Z.rise + i)),
    ...some(({ translucent }) => translucent > 0, Z.translucent),
    ...some(({ powder }) => powder > 0, Z.powder),
    Z.softness,
    ...some(({ grade }) => grade <= 1, Z.gap),
    ...some(({ grade }) => grade >= 2, Z.gap + 1),
    ...some(({ grade }) => grade >= 3, Z.gap + 2),
    Z.batch,
    ...some(({ rankOnly }) => rankOnly, Z.pinch),
    ...(dips ? some(between, Z.dip, Z.dipAt) : []),
    ...Array.from({ length: batches }, (_, i) => Z.luck + i),
  ];
}
