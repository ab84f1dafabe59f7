import { deltaE2000 } from '../colour/difference.ts';
import { lchFromLab } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { invalidInput } from '../errors.ts';
import { covarianceRoot } from '../numeric/covariance-root.ts';

export type VerdictWord = 'same' | 'match' | 'close' | 'family' | 'different';

/** Largest dE00 of a match: what half of 175 observers would accept [Paravina2015]. */
export const MATCH = 1.8;

/**
 * Largest dE00 of each word. 0.8 and 1.8 are what half of 175 observers could see and would accept
 * [Paravina2015]; 3.5 and 7 are common practice, no source.
 */
export const VERDICT_LIMITS: readonly (readonly [VerdictWord, number])[] = [
  ['same', 0.8],
  ['match', MATCH],
  ['close', 3.5],
  ['family', 7],
];

/** Largest dE00 of a word. */
export function verdictLimit(word: Exclude<VerdictWord, 'different'>): number {
  return VERDICT_LIMITS.find(([one]) => one === word)![1];
}

export interface Verdict {
  /** Never finer than the ± allows. */
  readonly word: VerdictWord;
  readonly dE00: number;
  /** Size of the ±, dE00; 0 where no covariance was given. */
  readonly plusMinus: number;
  readonly sentence: string;
}

/** One way in which a colour differs from another, and by how much. */
export interface Side {
  /** lighter, darker, brighter, duller, redder, yellower, greener, bluer. */
  readonly word: string;
  /** dE00 of this side alone. */
  readonly size: number;
}

const IN_WORDS: Readonly<Record<VerdictWord, string>> = {
  same: 'the same',
  match: 'a match',
  close: 'close',
  family: 'of the same family',
  different: 'different',
};

/**
 * Below this chroma (mean of the two) a difference is described by redder, greener, bluer and
 * yellower instead of brightness and hue.
 */
const GREYISH = 6;
/** Below this chroma an aim has no hue along which another colour could be duller. */
const GREY = 2;

/** The covariance of a colour that is known exactly. */
const SURE = new Float64Array(9);

/** The finest word whose limit is not exceeded. */
export function verdictWord(dE00: number): VerdictWord {
  return VERDICT_LIMITS.find(([, limit]) => dE00 <= limit)?.[0] ?? 'different';
}

/**
 * How a predicted colour will look beside the aim, in words.
 * Shape:   two Lab under one light, covariance of the predicted one 3 x 3 by rows -> word, sentence
 * Units:   dE00
 * Refuses: a number that is not finite -> invalid-input
 * Holds:   the word is that of the larger of distance and ±, so never finer than the ±
 * Source:  [Paravina2015] for the two finest limits
 */
export function verdict(aim: Lab, predicted: Lab, covariance?: ArrayLike<number>): Verdict {
  if (![...aim, ...predicted].every(Number.isFinite)) {
    throw invalidInput('A colour to be judged has a coordinate that is no number.');
  }
  const dE00 = deltaE2000(aim, predicted);
  const plusMinus = covariance === undefined ? 0 : plusMinusOf(predicted, covariance);
  const word = verdictWord(Math.max(dE00, plusMinus));
  const miss = missOf(aim, predicted, covariance ?? SURE);
  const seen = covariance === undefined || dE00 >= Math.max(plusMinus, 0.8);
  const tail =
    miss === undefined ? '' : `; ${seen ? '' : 'may come out '}${sideInWords(miss.side)}`;
  return { word, dE00, plusMinus, sentence: `${headOf(word, dE00)}${tail}` };
}

/**
 * The first words of a verdict. Where only the ± is wide, they start with the prediction: of two
 * patches that look alike side by side, nobody believes "the same family" alone.
 */
function headOf(word: VerdictWord, dE00: number): string {
  const looks = verdictWord(dE00);
  if (looks === word) return IN_WORDS[word];
  if (word === 'match') return `${IN_WORDS[word]}, as far as these tiles show`;
  const unsure = `${predictionInWords(looks)}, but not certain`;
  return word === 'different'
    ? unsure
    : `${unsure}: with these clays it is only certain to be ${IN_WORDS[word]}`;
}

/** The predicted difference of two colours in words, whatever the ± is. */
function predictionInWords(looks: VerdictWord): string {
  return `predicted ${looks === 'same' ? 'alike' : IN_WORDS[looks]}`;
}

/**
 * A verdict in a few words, for a line of a list: "a match".
 * Holds:   as fine as the sentence of the verdict, and no finer
 */
export function verdictInShort({ word, dE00 }: Pick<Verdict, 'word' | 'dE00'>): string {
  const looks = verdictWord(dE00);
  if (looks === word || word === 'match') return IN_WORDS[word];
  const unsure = predictionInWords(looks);
  return word === 'different' ? `${unsure}, not certain` : `${unsure}, at least ${IN_WORDS[word]}`;
}

/**
 * Size of a ±: the root of the mean square dE00 between a colour and its possible true colours.
 * Shape:   Lab, covariance 3 x 3 by rows -> dE00
 * Method:  CIEDE2000 is treated as quadratic close to the colour: the squares of the distances one
 *          deviation along each column of the covariance's Cholesky factor add up. Within 10 % of
 *          drawing many colours while the ± stays below 5
 * Refuses: a covariance that is not positive semi-definite -> invalid-input
 */
export function plusMinusOf(lab: Lab, covariance: ArrayLike<number>): number {
  const root = covarianceRoot(covariance);
  let sum = 0;
  for (const column of [0, 1, 2]) {
    const [l, a, b] = [root[column], root[3 + column], root[6 + column]];
    for (const sign of [1, -1]) {
      sum += deltaE2000(lab, [lab[0] + sign * l, lab[1] + sign * a, lab[2] + sign * b]) ** 2 / 2;
    }
  }
  return Math.sqrt(sum);
}

/**
 * In which ways the second colour differs from the first, the largest first.
 * Shape:   two Lab under one light -> lightness, chroma and hue side, or for greyish colours, or
 *          beside a grey aim, the sides of red-green and yellow-blue
 */
export function sidesOf(from: Lab, to: Lab): readonly Side[] {
  const dL = to[0] - from[0];
  const lightness = { word: dL > 0 ? 'lighter' : 'darker', at: [to[0], from[1], from[2]] as const };
  const [, chroma, hue] = lchFromLab(from);
  const mean = (chroma + Math.hypot(to[1], to[2])) / 2;
  const ways: { word: string; at: Lab }[] = [lightness];
  if (mean < GREYISH || chroma < GREY) {
    ways.push(
      { word: to[1] > from[1] ? 'redder' : 'greener', at: [from[0], to[1], from[2]] },
      { word: to[2] > from[2] ? 'yellower' : 'bluer', at: [from[0], from[1], to[2]] },
    );
  } else {
    const radians = (hue * Math.PI) / 180;
    const [ca, cb] = [Math.cos(radians), Math.sin(radians)];
    // Along the aim's own hue, and across that hue.
    const along = (to[1] - from[1]) * ca + (to[2] - from[2]) * cb;
    const across = -(to[1] - from[1]) * cb + (to[2] - from[2]) * ca;
    ways.push(
      {
        word: along > 0 ? 'brighter' : 'duller',
        at: [from[0], from[1] + along * ca, from[2] + along * cb],
      },
      {
        word: hueWord(-across * cb, across * ca),
        at: [from[0], from[1] - across * cb, from[2] + across * ca],
      },
    );
  }
  return ways
    .map(({ word, at }) => ({ word, size: deltaE2000(from, at) }))
    .sort((one, other) => other.size - one.size);
}

function hueWord(da: number, db: number): string {
  if (Math.abs(da) >= Math.abs(db)) return da > 0 ? 'redder' : 'greener';
  return db > 0 ? 'yellower' : 'bluer';
}

/** Words for the size of a side, on the scale of the verdicts. */
const MUCH: Readonly<Record<VerdictWord, string>> = {
  same: 'barely',
  match: 'slightly',
  close: 'a little',
  family: 'clearly',
  different: 'far',
};

/** A side with its size in words: "slightly greener". */
export function sideInWords({ word, size }: Side): string {
  return `${MUCH[verdictWord(size)]} ${word}`;
}

/**
 * In which direction a mix differs from the aim, if it does: the side on which it may be farthest off.
 * Shape:   two Lab under one light, covariance of the predicted one 3 x 3 by rows -> the side, and the
 *          predicted difference in dE00; undefined where nothing can be seen
 */
export function missOf(
  aim: Lab,
  predicted: Lab,
  covariance: ArrayLike<number>,
): { readonly side: Side; readonly dE00: number } | undefined {
  const dE00 = deltaE2000(aim, predicted);
  const plusMinus = plusMinusOf(predicted, covariance);
  const sides =
    plusMinus === 0 || dE00 >= Math.max(plusMinus, 0.8)
      ? sidesOf(aim, predicted)
      : farEnds(aim, predicted, covariance).sort((one, other) => other.size - one.size);
  return sides[0].size < LEAST_SAID ? undefined : { side: sides[0], dE00 };
}

/** Smaller sides are left out of sentences, dE00. */
const LEAST_SAID = 0.3;

/**
 * The colours one deviation further off along lightness, chroma and hue, each away from the aim.
 */
function farEnds(aim: Lab, predicted: Lab, covariance: ArrayLike<number>): Side[] {
  const [, chroma, hue] = lchFromLab(predicted);
  const radians = (hue * Math.PI) / 180;
  const [ca, cb] = chroma < GREYISH ? [1, 0] : [Math.cos(radians), Math.sin(radians)];
  return [
    [1, 0, 0],
    [0, ca, cb],
    [0, -cb, ca],
  ].flatMap((way) => {
    const variance = way.reduce(
      (sum, v, i) => sum + way.reduce((s, w, j) => s + v * w * covariance[i * 3 + j], 0),
      0,
    );
    const offset = way.reduce((sum, v, i) => sum + v * (predicted[i] - aim[i]), 0);
    const step = offset + Math.sign(offset || 1) * Math.sqrt(Math.max(0, variance));
    const end: Lab = [aim[0] + step * way[0], aim[1] + step * way[1], aim[2] + step * way[2]];
    return sidesOf(aim, end).slice(0, 1);
  });
}
