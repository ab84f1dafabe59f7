import type { Lab } from '../colour/triples.ts';
import { chanceWithin } from './chance.ts';
import { missOf, sideInWords, sidesOf, type VerdictWord, verdict, verdictWord } from './verdict.ts';

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
 * Holds:   the verdict word is that of the tolerance while a try in twenty succeeds; else that of the
 *          predicted difference, without a chance
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
    const looks = verdictWord(Math.max(miss?.dE00 ?? 0, tolerance * 1.001));
    return {
      head: HEADS[looks],
      miss: way === undefined ? '' : `It comes out ${way}.`,
      chance,
    };
  }
  return {
    head: `${HEADS[verdictWord(tolerance)]}, ${chanceInWords(chance)}`,
    miss: way === undefined ? '' : `If it misses, it comes out ${way}.`,
    chance,
  };
}

/** How two known colours differ, the second seen from the first. */
export function differenceInWords(one: Lab, other: Lab): VerdictInWords {
  const [side] = sidesOf(one, other);
  const said = side.size < 0.3 ? '' : `${sideInWords(side)}.`;
  return { head: HEADS[verdict(one, other).word], miss: upper(said) };
}

function upper(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** "7 in 10", "almost certainly", "hardly ever" */
export function chanceInWords(chance: number): string {
  const inTen = Math.round(chance * 10);
  if (inTen >= 10) return 'almost certainly';
  return inTen === 0 ? 'hardly ever' : `${inTen} in 10`;
}
