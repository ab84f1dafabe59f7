import { clayKey } from '../core/notation/clay-name.ts';
import { lettersToChange } from '../core/notation/nearest-name.ts';
import { pairs } from '../core/numeric/pairs.ts';

/** Shorter words differ by one letter too often to mean anything. */
const SHORTEST = 4;

/**
 * Whether two names may be one clay in two spellings, as in Kelp and Kelpp: one letter of one word
 * differs, or two neighbours changed places.
 * Holds: numbers and short words, as in Kelp 2 and Kelp 3 or Red A and Red B, are other names
 */
export function namesTooAlike(one: string, other: string): boolean {
  const ones = clayKey(one).split(/\s+/);
  const others = clayKey(other).split(/\s+/);
  if (ones.length !== others.length) return false;
  const [unlike, more] = pairs(ones, others).filter(([word, same]) => word !== same);
  if (unlike === undefined || more !== undefined) return false;
  const [a, b] = unlike;
  if (Math.min(a.length, b.length) < SHORTEST || /\d/.test(a + b)) return false;
  return lettersToChange(a, b) === 1;
}
