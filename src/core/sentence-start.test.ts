import { expect, it } from 'vitest';
import { sentenceStart } from './sentence-start.ts';

it('begins with a capital, whatever comes first', () => {
  expect(sentenceStart('choosing packages')).toBe('Choosing packages');
  expect(sentenceStart('über')).toBe('Über');
  expect(sentenceStart('3 clays')).toBe('3 clays');
  expect(sentenceStart('')).toBe('');
});
