import { describe, expect, it } from 'vitest';
import { readmeSession } from './readme-session.ts';

/** Numbers of a text, and the text between them. How long a search took, and over what, is nobody's promise. */
function parts(text: string): { words: string; numbers: string[] } {
  const steady = text
    .replace(/(, | in )\d+\.\d s\b/, '$1a while')
    .replace(/[\d,]+ tried/, 'some tried');
  const numbers = steady.match(/-?\d+(?:\.\d+)?/g) ?? [];
  return { words: steady.replace(/[ \t]*-?\d+(?:\.\d+)?/g, '#'), numbers };
}

/** One unit of the last digit shown: another machine may round the other way. */
function lastDigit(number: string): number {
  return 10 ** -(number.split('.')[1]?.length ?? 0);
}

describe('the session in README.md', () => {
  it('is what the program says', () => {
    const steps = readmeSession();
    expect(steps.map(({ command }) => command.split(' ')[2])).toEqual([
      'learn',
      'predict',
      'seek',
      'seek',
    ]);
    for (const { shown, said } of steps) {
      const [was, is] = [parts(shown), parts(said)];
      expect(is.words).toBe(was.words);
      is.numbers.forEach((number, i) => {
        const apart = Math.abs(Number(number) - Number(was.numbers[i]));
        const slack = number.includes('.') ? lastDigit(number) * 1.001 : 0;
        expect(apart, `${was.numbers[i]} is shown, ${number} is said`).toBeLessThanOrEqual(slack);
      });
    }
  });
});
