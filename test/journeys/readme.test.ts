import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { callHere, ROOT } from './program.ts';
import {
  figureSession,
  readmeBookCalls,
  readmeSession,
  type SessionStep,
} from './readme-session.ts';

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

/** Text is as it is said, and numbers are within one of their last digit. */
function expectTrue(steps: readonly SessionStep[]): void {
  for (const { shown, said } of steps) {
    const [was, is] = [parts(shown), parts(said)];
    expect(is.words).toBe(was.words);
    is.numbers.forEach((number, i) => {
      const apart = Math.abs(Number(number) - Number(was.numbers[i]));
      const slack = number.includes('.') ? lastDigit(number) * 1.001 : 0;
      expect(apart, `${was.numbers[i]} is shown, ${number} is said`).toBeLessThanOrEqual(slack);
    });
  }
}

describe('the session in README.md', () => {
  it('is what the program says', () => {
    const steps = readmeSession();
    expect(steps.map(({ command }) => command.split(' ')[2])).toEqual([
      'learn',
      'predict',
      'find',
      'find',
    ]);
    expectTrue(steps);
  });
});

describe('the figure in docs/a-figure.md', () => {
  it('is what the program says', () => {
    const steps = figureSession();
    expect(steps.map(({ command }) => command.split(' ')[2])).toEqual([
      'figure',
      'figure',
      'figure',
      'figure',
      'buying-list',
    ]);
    const [first] = steps;
    for (const part of ['240 Fronds', '5 Coils', '1 Body']) expect(first?.said).toContain(part);
    expectTrue(steps);
  });
});

describe('the mix book in README.md', () => {
  it('can be followed by typing its commands', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'kneadwell readme book '));
    const calls = readmeBookCalls();
    expect(calls.map(([verb]) => verb)).toEqual(
      expect.arrayContaining(['add', 'show', 'undo', 'import', 'learn', 'find', 'backup']),
    );
    try {
      for (const words of calls) {
        const here = words.map((word) =>
          word
            .replace(/^data\/demo\//, `${ROOT}data/demo/`)
            .replace(/^\/another\/disk\//, `${folder}/`),
        );
        const { code, err } = await callHere([...here, '--folder', join(folder, 'book')]);
        expect([words.join(' '), code, err]).toEqual([words.join(' '), 0, '']);
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
