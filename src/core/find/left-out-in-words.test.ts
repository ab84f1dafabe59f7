import { expect, it } from 'vitest';
import { leftOutInWords } from './left-out-in-words.ts';

it('names clays of no known colour, the first few of many', () => {
  expect(leftOutInWords([])).toBe('');
  expect(leftOutInWords(['Squid'])).toBe(
    'Left out, because nothing is known of its colour: Squid. Read a tile of it.',
  );
  const many = Array.from({ length: 11 }, (_, i) => `Clay ${i}`);
  expect(leftOutInWords(many)).toMatch(
    /of their colour: Clay 0, .*, Clay 7 and 3 more\. Read a tile of each\.$/,
  );
});
