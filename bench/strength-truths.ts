/** Truths of two lines for `strength.ts`: the prior's own, smooth ones of another kind, a jump, a dip, strong scatter. */
import type { BendResultRow } from '../src/core/strength/bend-results.ts';
import type { Load } from '../src/core/strength/strength-belief.ts';
import { AT, drawTerms, placeOfShare, toleranceAt } from '../src/core/strength/strength-terms.ts';
import type { Random } from './random.ts';

export interface Truth {
  readonly tolerance: (share: number) => number;
  readonly softness: number;
  /** From bake to bake. */
  readonly scatter: number;
  /** Where grades 1 to 4 begin. */
  readonly starts: readonly number[];
}

/** A curve whose base, gain and softness are drawn: what the oracle knows of it. */
export interface KnownForm {
  readonly shape: (share: number) => number;
  readonly scatter: number;
}

export interface KindOfTruth {
  readonly name: string;
  readonly draw: (random: Random) => Truth;
  readonly form?: KnownForm;
  readonly isDip?: boolean;
}

export const SHARES = [0, 0.12, 0.25, 0.5, 1];
/** Of the truths that are not from the prior. */
export const BASE = [Math.log(0.02), 0.6] as const;
export const GAIN = [0.8, 2] as const;
export const SOFTNESS = [0.15, 0.3] as const;
const STARTS = [-0.4, 0, 0.35, 0.7];

const between = ([low, high]: readonly [number, number], at: number) => low + at * (high - low);

function fromPrior(random: Random): Truth {
  const terms = drawTerms(random);
  return {
    tolerance: (share) => toleranceAt(terms, 0, share, placeOfShare(share), false),
    softness: terms[AT.softness],
    scatter: terms[AT.batch],
    starts: [1, 2, 3, 4].map((grade) => terms[AT.starts + grade]),
  };
}

export function truthOf(
  { shape, scatter }: KnownForm,
  base: number,
  gain: number,
  softness: number,
): Truth {
  return { tolerance: (share) => base + gain * shape(share), softness, scatter, starts: STARTS };
}

function ofForm(name: string, shape: KnownForm['shape'], scatter = 0.2): KindOfTruth {
  const form = { shape, scatter };
  return {
    name,
    form,
    draw: ({ normal, uniform }) =>
      truthOf(
        form,
        BASE[0] + BASE[1] * normal(),
        between(GAIN, uniform()),
        between(SOFTNESS, uniform()),
      ),
  };
}

export const TRUTHS: readonly KindOfTruth[] = [
  { name: 'as the prior', draw: fromPrior },
  ofForm('even', (s) => s),
  ofForm('early', (s) => Math.sqrt(s)),
  ofForm('late', (s) => s * s),
  ofForm('S-shaped', (s) => s * s * (3 - 2 * s)),
  ofForm('beside a jump', (s) => (s < 0.3 ? 0 : 1)),
  { ...ofForm('in a dip', (s) => s - 1.6 * (1 - Math.abs(2 * s - 1))), isDip: true },
  ofForm('strong batch scatter', (s) => s, 0.5),
];
/** The truths that are averaged: smooth, and not from the prior. */
export const FOUR_OTHERS: readonly string[] = ['even', 'early', 'late', 'S-shaped'];

export const logistic = (x: number) => 1 / (1 + Math.exp(-x));

/** Tests of all shares in turn, at three strains and in three bakes, not always the same strain in one bake. */
export function bookOf(
  truth: Truth,
  tests: number,
  strains: readonly number[],
  random: Random,
): readonly BendResultRow[] {
  const bakes = [0, 1, 2].map(() => truth.scatter * random.normal());
  return Array.from({ length: tests }, (_, i): BendResultRow => {
    const round = Math.floor(i / SHARES.length);
    const bake = round % bakes.length;
    const share = SHARES[i % SHARES.length];
    const strain = strains[(round + Math.floor(round / bakes.length)) % strains.length];
    const x = Math.log(strain) - truth.tolerance(share) + bakes[bake];
    const luck = random.uniform();
    // Grade is the number of starts that the specimen has passed.
    const grade = truth.starts.filter(
      (start) => luck < logistic((x - start) / truth.softness),
    ).length;
    const batch = `bake ${bake}`;
    return { share, strain, grade, batch, translucent: 0, powder: 0, rankOnly: false };
  });
}

/** Share of new specimens that hold, over many new bakes. */
export function trueChance(truth: Truth, share: number, { strain }: Load, steps = 400): number {
  let sum = 0;
  for (let i = 0; i < steps; i++) {
    const z = -4 + (8 * (i + 0.5)) / steps;
    const weight = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
    const x = Math.log(strain) - truth.tolerance(share) + truth.scatter * z;
    sum += (8 / steps) * weight * logistic((truth.starts[1] - x) / truth.softness);
  }
  return sum;
}
