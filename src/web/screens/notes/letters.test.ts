import { expect, it } from 'vitest';
import { unknownLetters } from './letters.ts';

it('asks which clay a word means, and not which clay a bracket or a colon means', () => {
  const errors = [{ unknown: [':', '(baked', 'min)', 'green', 'K'] }];
  const asked = unknownLetters({ lines: [{ kind: 'errors', errors }] } as never);
  expect(asked.map(({ letters }) => letters)).toEqual(['green', 'K']);
});
