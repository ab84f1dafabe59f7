import { clayKey } from './clay-name.ts';

/**
 * The known names most like an unknown one, most alike first, at most three.
 * Holds: a name is offered when at most a third of its letters (two at least) must change, or when
 *        one of the two contains the other
 */
export function nearestNames(unknown: string, known: readonly string[]): readonly string[] {
  const typed = clayKey(unknown);
  return known
    .map((name) => {
      const key = clayKey(name);
      const within = typed.length > 2 && (key.includes(typed) || typed.includes(key));
      return { name, steps: within ? 1 : lettersToChange(typed, key), length: key.length };
    })
    .filter(({ steps, length }) => steps <= Math.max(2, length / 3) && steps < length)
    .sort((one, other) => one.steps - other.steps)
    .slice(0, 3)
    .map(({ name }) => name);
}

/** Letters to add, remove or change, [Levenshtein1966]; two neighbours swapped count one. */
export function lettersToChange(from: string, to: string): number {
  let before: number[] = [];
  let last = Array.from({ length: to.length + 1 }, (_, j) => j);
  for (let i = 1; i <= from.length; i++) {
    const row = [i];
    for (let j = 1; j <= to.length; j++) {
      const change = from[i - 1] === to[j - 1] ? 0 : 1;
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + change);
      const swapped = i > 1 && j > 1 && from[i - 1] === to[j - 2] && from[i - 2] === to[j - 1];
      if (swapped) row[j] = Math.min(row[j], before[j - 2] + 1);
    }
    before = last;
    last = row;
  }
  return last[to.length];
}
