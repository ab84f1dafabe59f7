import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { normalShare } from '../verdict/chance.ts';

/** What the user may say about a test ball beside the original, in the words of the verdicts. */
export const EYE_WORDS = [
  ...['lighter', 'darker', 'brighter', 'duller', 'redder', 'greener', 'yellower', 'bluer'],
  'same',
] as const satisfies readonly string[];
export type EyeWord =
  | 'lighter'
  | 'darker'
  | 'brighter'
  | 'duller'
  | 'redder'
  | 'greener'
  | 'yellower'
  | 'bluer'
  | 'same';

const HUE_WORDS = ['redder', 'greener', 'yellower', 'bluer'] as const satisfies readonly EyeWord[];

/** How much of a side there is, in the user's words. */
export const EYE_GRADES = ['slightly', 'clearly', 'far'] as const;
export type EyeGrade = (typeof EYE_GRADES)[number];

/** The user's verdict on some test balls that were compared with the original. */
export interface EyeVerdict {
  /** Which test ball is closest, 0 the first; `none` when the user cannot tell. */
  readonly nearest: number | 'none';
  /**
   * How the closest test ball looks beside the original; or every test ball where none is closest.
   */
  readonly how?: readonly EyeWord[];
  /** How much of a word in `how`, where the user says so. */
  readonly much?: Readonly<Partial<Record<EyeWord, EyeGrade>>>;
}

/**
 * The model of an eye by which verdicts are weighed. Two parts are published and three assumed:
 * `noise`: standard deviation, in dE00, of each axis of a difference in one look. Half of 175
 * observers saw a difference at 0.8 [Paravina2015]; of pairs without any, 27 % were called
 * different [LindseyWee2007]. If a look calls "different" whatever seems longer than a limit, the
 * two give 0.60 and a limit of 1.19. `strangeness`: share by which an eye's own sense of a large
 * difference departs from CIEDE2000. The mean STRESS of CIEDE2000 over 16 sets of visual data is 31
 * of 100, from the change of 5.4 that was 17.5 % of it [Huang2015].
 * Assumed: one verdict in fifty is a slip; a side is named from the threshold of 0.8 up. Half of those
 *          that could be named are not, of clear ones a quarter; who named two sides seldom names a
 *          third. `clearly` begins at 2.5 and `far` at 6, and people draw these two lines by half as
 *          much apart.
 */
export const EYE = {
  noise: 0.6,
  limit: 1.19,
  strangeness: 0.3,
  slip: 0.02,
  named: 0.8,
  silent: 0.5,
  silentClear: 0.25,
  silentThird: 0.75,
  clearly: 2.5,
  far: 6,
  gradeSpread: 0.5,
} as const;

/**
 * Steepness of the logistic law closest to that of the difference of two looks of deviation 1:
 * never more than 0.0095 off.
 */
const STEEP = 1.702 / Math.SQRT2;

/**
 * A difference on the scale on which every eye errs by 1: proportional when small, logarithmic when
 * large, because an eye errs by noise and by a share of the difference.
 * Units:   dE00 -> deviations of one look
 */
export function felt(dE00: number): number {
  const { noise, strangeness } = EYE;
  return Math.asinh((strangeness * dE00) / noise) / strangeness;
}

/**
 * Strength of a test ball in being called "closest": chances are proportional to strengths. Units:
 * dE00
 */
export function strengthOf(dE00: number): number {
  return Math.exp(-STEEP * felt(dE00));
}

/**
 * Chance of each test ball to be called the closest.
 * Shape:   n differences from the original, dE00 -> n chances that sum to 1
 * Source:  law of comparative judgment [Thurstone1927], with a logistic for the normal law
 */
export function chancesOfNearest(dE00: ArrayLike<number>): number[] {
  const strengths = Array.from(dE00, strengthOf);
  const sum = strengths.reduce((total, s) => total + s, 0);
  return strengths.map((s) => (sum > 0 ? s / sum : 1 / strengths.length));
}

/** Chance that a difference is not seen. Source: [AbramowitzStegun1964] 26.4.28, three degrees. */
export function chanceUnseen(dE00: number): number {
  const share = (dE00 / EYE.noise) ** 2;
  const limit = (EYE.limit / EYE.noise) ** 2;
  const spread = (2 * (1 + share / (3 + share))) / (9 * (3 + share));
  return normalShare(((limit / (3 + share)) ** (1 / 3) - 1 + spread) / Math.sqrt(spread));
}

/**
 * Natural logarithm of the chance of a verdict, if the test balls and the original have these
 * colours.
 * Shape:   original, n test balls, verdict -> one number, without terms that do not depend on the
 *          colours
 * Units:   CIELAB under one light
 * Method:  the closest as in `chancesOfNearest`; ties after [Davidson1970], so that of two equal
 *          ones a third of the eyes cannot choose; words by the normal law along each side
 * Limits:  an eye of ordinary colour vision; sides are treated as independent
 */
export function logChanceOfVerdict(
  original: Lab,
  balls: readonly Lab[],
  verdict: EyeVerdict,
): number {
  const { nearest, how, much = {} } = verdict;
  const apart = balls.map((ball) => deltaE2000(original, ball));
  let sum = 0;
  if (balls.length > 1) {
    const chances = chancesOfNearest(apart);
    const [first, second] = chances.toSorted((p, q) => q - p);
    const tie = Math.sqrt(first * second);
    const said = (nearest === 'none' ? tie : chances[nearest]) / (1 + tie);
    sum += Math.log((1 - EYE.slip) * said + EYE.slip / (balls.length + 1));
  }
  if (how === undefined || how.length === 0) return sum;
  balls.forEach((ball, i) => {
    if (nearest === 'none' || nearest === i) {
      sum += logChanceOfWords(original, ball, apart[i], how, much);
    }
  });
  return sum;
}

function logChanceOfWords(
  original: Lab,
  ball: Lab,
  dE00: number,
  how: readonly EyeWord[],
  much: NonNullable<EyeVerdict['much']>,
): number {
  if (how.includes('same')) {
    return Math.log((1 - EYE.slip) * chanceUnseen(dE00) + EYE.slip / 2);
  }
  const spread = Math.hypot(EYE.noise, (EYE.strangeness * dE00) / Math.sqrt(3));
  const over = (size: number) => normalShare((size - EYE.named) / spread);
  /** Past a line between two grades, which people draw apart by a share of its place. */
  const past = (size: number, line: number) =>
    normalShare((size - line) / Math.hypot(spread, EYE.gradeSpread * line));
  const chanceOfGrade = (grade: EyeGrade, size: number) => {
    const [clearly, far] = [past(size, EYE.clearly), past(size, EYE.far)];
    if (grade === 'slightly') return (1 - EYE.silent) * over(size) * (1 - clearly);
    const sized = grade === 'far' ? far : Math.max(0, clearly - far);
    return (1 - EYE.silentClear) * over(size) * sized;
  };
  /** Of a seen difference, the chance that it is named: a clear one is more often. */
  const named = (size: number) =>
    over(size) * (1 - EYE.silent + (EYE.silent - EYE.silentClear) * past(size, EYE.clearly));
  const third = how.length > 1 ? (1 - EYE.silentThird) / (1 - EYE.silent) : 1;
  const unsaid = (size: number) => Math.log(1 - third * (named(size) + named(-size)));
  const { lightness, chroma, red, yellow } = sidesSeen(original, ball);
  let sum = 0;
  // Hue has two pairs of words: one that is left out beside the other says nothing.
  if (!HUE_WORDS.some((word) => how.includes(word))) sum += unsaid(Math.hypot(red, yellow));
  for (const [up, down, size] of [
    ['lighter', 'darker', lightness],
    ['brighter', 'duller', chroma],
    ['redder', 'greener', red],
    ['yellower', 'bluer', yellow],
  ] as const) {
    const sign = how.includes(up) ? 1 : how.includes(down) ? -1 : 0;
    if (sign !== 0) {
      const grade = much[sign > 0 ? up : down];
      const said = grade === undefined ? named(sign * size) : chanceOfGrade(grade, sign * size);
      sum += Math.log((1 - EYE.slip) * said + EYE.slip / 2);
    } else if (up === 'lighter' || up === 'brighter') {
      sum += unsaid(size);
    }
  }
  return sum;
}

/**
 * Below this chroma a colour has no hue of its own to move along; the same limit as in the
 * verdicts.
 */
const GREYISH = 6;

/** Signed sizes of a difference along what words name, dE00. Weights of [Sharma2005], rounded off. */
export function sidesSeen(original: Lab, ball: Lab) {
  const [dL, da, db] = [ball[0] - original[0], ball[1] - original[1], ball[2] - original[2]];
  const chroma = Math.hypot(original[1], original[2]);
  const mean = (chroma + Math.hypot(ball[1], ball[2])) / 2;
  const fromMid = (original[0] + ball[0]) / 2 - 50;
  const weightL = 1 + (0.015 * fromMid * fromMid) / Math.sqrt(20 + fromMid * fromMid);
  const weightC = 1 + 0.045 * mean;
  const weightH = 1 + 0.015 * mean;
  const lightness = dL / weightL;
  if (mean < GREYISH || chroma === 0) {
    const grown = Math.hypot(ball[1], ball[2]) - chroma;
    return { lightness, chroma: grown / weightC, red: da / weightC, yellow: db / weightC };
  }
  const [ca, cb] = [original[1] / chroma, original[2] / chroma];
  const across = (db * ca - da * cb) / weightH;
  return {
    lightness,
    chroma: (da * ca + db * cb) / weightC,
    red: -across * cb,
    yellow: across * ca,
  };
}
