import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { wordIndex } from './word-index.ts';

const word = fc.constantFrom('kelp', 'kelps', 'k', 'moss', 'mo', 'foam', 'f10', 'f1');
const text = fc.array(word, { maxLength: 6 });

describe('the words of texts', () => {
  it('marks what looking through every text would, however texts come and go', () => {
    const change = fc.array(fc.tuple(fc.nat(20), text), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(fc.array(change, { maxLength: 20 }), word, (changes, prefix) => {
        const words = wordIndex();
        const texts: string[][] = Array(21).fill([]);
        for (const some of changes) {
          const last = new Map(some);
          for (const [number, after] of last) {
            words.change(number, texts[number], after);
            texts[number] = after;
          }
        }
        const marks = new Uint8Array(21);
        words.mark(prefix, marks, 4);
        expect([...marks]).toEqual(
          texts.map((text) => (text.some((one) => one.startsWith(prefix)) ? 4 : 0)),
        );
      }),
      { seed: 2101, numRuns: 300 },
    );
  });

  it('stays right past the point where new words are sorted in', () => {
    const words = wordIndex();
    const names = Array.from({ length: 5000 }, (_, i) => `w${i}`);
    for (const [i, name] of names.entries()) words.change(i, [], [name]);
    words.change(17, ['w17'], ['other']);
    for (const prefix of ['w1', 'w17', 'w4999', 'oth', 'x']) {
      const marks = new Uint8Array(5000);
      words.mark(prefix, marks, 1);
      const expected = names.map((name, i) =>
        (i === 17 ? 'other' : name).startsWith(prefix) ? 1 : 0,
      );
      expect([...marks]).toEqual(expected);
    }
  });
});
