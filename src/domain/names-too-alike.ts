import { clayKey } from '../core/notation/clay-name.ts';
import { lettersToChange } from '../core/notation/nearest-name.ts';

/** Shorter words differ by one letter too often to mean anything. */
const SHORTEST = 4;

/**
 * Whether two names may be one clay in two spellings, as in Kelp and Kelpp: one letter of one word
 * differs, or two neighbours changed places.
 * Holds: numbers and short words, as in Kelp 2 and Kelp 3 or Red A and Red B, are other names
 */
export function namesTooAlike(one: string, other: string): boolean {
  const words = [one, other].map((name) => clayKey(name).split(/\s+/));
  if (words[0].length !== words[1].length) return false;
  const unlike = words[0].flatMap((word, i) => (word === words[1][i] ? [] : [[word, words[1][i]]]));
  if (unlike.length !== 1) return false;
  const [[a, b]] = unlike;
  if (Math.min(a.length, b.length) < SHORTEST || /\d/.test(a + b)) return false;
  return lettersToChange(a, b) === 1;
}
