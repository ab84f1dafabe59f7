import { MATCH } from '../core/verdict/verdict.ts';
import type { TryAnswer } from './try.ts';

/** A predicted dE00 this far past its ± calls for a second look: a match, for once, is not enough. */
const DOUBT = MATCH;

/** Whether the eye called a ball the same that the aim and all other verdicts call different. */
export function isDoubtful({ same, best }: Pick<TryAnswer, 'same' | 'best'>): boolean {
  return same && best.expected - best.plusMinus > DOUBT;
}
