import type { Lab } from '../colour/triples.ts';
import { sentenceStart } from '../sentence-start.ts';
import { chanceWithin } from './chance.ts';
import {
  missOf,
  sideInWords,
  sidesOf,
  type Verdict,
  type VerdictWord,
  verdict,
  verdictInShort,
  verdictWord,
} from './verdict.ts';

/** The one verdict shown for a prediction. */
export interface VerdictInWords {
  /** Verdict and chance: "A match, 7 in 10". */
  readonly head: string;
  /** The direction, as a sentence; empty where nothing can be seen. */
  readonly miss: string;
}

const HEADS: Readonly<Record<VerdictWord, string>> = {
  same: 'The same',
  match: 'A match',
  close: 'Close',
  family: 'Same family',
  different: 'Different',
};

/** Below this chance, less than one try in twenty, no chance is named. */
export const HARDLY = 0.05;

/** A verdict word at the beginning of a line. */
export function verdictHead(word: VerdictWord): string {
  return HEADS[word];
}

/**
 * Verdict, chance and direction in one line each, for a recipe beside the colour wanted.
 * Shape:   two Lab under one light, covariance of the predicted one 3 x 3 by rows, tolerance in dE00,
 *          the chance where it is known already -> words
 * Refuses: as `chanceWithin`
 * Returns: the chance that the true colour is within the tolerance too, 0-1
 * Holds:   the verdict word is that of the tolerance while a try in twenty succeeds; else the head is that
 *          of `hopelessHead`, without a chance
 */
export function verdictInWords(
  aim: Lab,
  predicted: Lab,
  covariance: ArrayLike<number>,
  tolerance: number,
  known?: number,
): VerdictInWords & { readonly chance: number } {
  const chance = known ?? chanceWithin(aim, predicted, covariance, tolerance);
  const miss = missOf(aim, predicted, covariance);
  const way = miss === undefined ? undefined : sideInWords(miss.side);
  if (chance < HARDLY) {
    const looks = verdict(aim, predicted, covariance);
    const comes = looks.dE00 < looks.plusMinus ? 'It may come out' : 'It comes out';
    return {
      head: hopelessHead(looks, tolerance),
      miss: way === undefined ? '' : `${comes} ${way}.`,
      chance,
    };
  }
  return {
    head: `${HEADS[verdictWord(tolerance)]}, ${chanceInWords(chance)}`,
    miss: way === undefined ? '' : `If it misses, it comes out ${way}.`,
    chance,
  };
}

/**
 * The head where hardly a try succeeds: "Different", or where only the ± is wide, "Predicted close, not
 * certain".
 * Units:   dE00
 */
export function hopelessHead(
  { dE00, plusMinus }: Pick<Verdict, 'dE00' | 'plusMinus'>,
  tolerance: number,
): string {
  const word = verdictWord(Math.max(dE00, plusMinus));
  return word === verdictWord(dE00)
    ? HEADS[verdictWord(Math.max(dE00, tolerance * 1.001))]
    : sentenceStart(verdictInShort({ word, dE00 }));
}

/** How two known colours differ, the second seen from the first. */
export function differenceInWords(one: Lab, other: Lab): VerdictInWords {
  const [side] = sidesOf(one, other);
  const said = side.size < 0.3 ? '' : `${sideInWords(side)}.`;
  return { head: HEADS[verdict(one, other).word], miss: sentenceStart(said) };
}

/** "7 in 10", "almost certainly", "hardly ever" */
export function chanceInWords(chance: number): string {
  const inTen = Math.round(chance * 10);
  if (inTen >= 10) return 'almost certainly';
  return inTen === 0 ? 'hardly ever' : `${inTen} in 10`;
}
