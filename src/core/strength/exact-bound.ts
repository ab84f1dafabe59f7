import { invalidInput } from '../errors.ts';

/**
 * The largest failing share that still fits what was seen: failures of n, at 95 % confidence.
 * Shape:   whole numbers -> 0-1; 1 where nothing was tested
 * Refuses: more failures than tests, numbers that are not whole -> invalid-input
 * Holds:   no failure in n gives 1 - 0.05^(1/n), about 3/n
 * Source:  [ClopperPearson1934]
 */
export function mostFailing(failures: number, tests: number): number {
  if (!Number.isInteger(failures) || !Number.isInteger(tests) || failures < 0 || failures > tests) {
    throw invalidInput(
      'Failures and tests must be whole numbers, and no more failures than tests.',
    );
  }
  if (failures === tests) return 1;
  let [low, high] = [failures / tests, 1];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (chanceOfAtMost(failures, tests, middle) > 0.05) low = middle;
    else high = middle;
  }
  return high;
}

/** Chance of at most k failures in n, each with chance p. */
function chanceOfAtMost(k: number, n: number, p: number): number {
  let term = (1 - p) ** n;
  let sum = term;
  for (let i = 1; i <= k; i++) {
    term *= ((n - i + 1) / i) * (p / (1 - p));
    sum += term;
  }
  return sum;
}
