import { describe, expect, it } from 'vitest';
import type { Lab } from '../colour/triples.ts';
import { differenceInWords, hopelessHead, verdictInWords } from './verdict-in-words.ts';

const AIM: Lab = [52, -18, 22];
const round = (sigma: number) => [1, 0, 0, 0, 1, 0, 0, 0, 1].map((v) => v * sigma ** 2);

describe('the one verdict', () => {
  it('says verdict, chance and direction', () => {
    const said = verdictInWords(AIM, [52.3, -18, 22], round(1.2), 1.8);
    expect(said.head).toMatch(/^A match, [5-9] in 10$/);
    expect(said.miss).toMatch(/^If it misses, it comes out \S.* \S+\.$/);
    expect(said.head).toBe(`A match, ${Math.round(10 * said.chance)} in 10`);
  });

  it('names what the tolerance asks for, and a chance that is given', () => {
    expect(verdictInWords(AIM, AIM, round(1), 3.5, 0.7).head).toBe('Close, 7 in 10');
    expect(verdictInWords(AIM, AIM, round(0), 1.8).head).toBe('A match, almost certainly');
  });

  it('gives a hopeless recipe the word of how it looks, and no chance', () => {
    const said = verdictInWords([60, -70, 30], [60, -30, 15], round(0.5), 1.8);
    expect(said.head).toBe('Different');
    expect(said.miss).toBe('It comes out far duller.');
  });

  it('claims no more than the ± of a hopeless recipe allows', () => {
    const said = verdictInWords(AIM, [52, -16, 24], round(9), 1.8);
    expect(said.chance).toBeLessThan(0.05);
    expect(said.head).toBe('Predicted close, not certain');
    expect(said.miss).toMatch(/^It may come out \S.*\.$/);
    expect(hopelessHead({ dE00: 1.2, plusMinus: 15 }, 1.8)).toBe('Predicted a match, not certain');
  });

  it('is silent about what cannot be seen', () => {
    expect(verdictInWords(AIM, AIM, round(0), 1.8).miss).toBe('');
    expect(differenceInWords(AIM, AIM)).toEqual({ head: 'The same', miss: '' });
    expect(differenceInWords(AIM, [54, -18, 22])).toEqual({
      head: 'Close',
      miss: 'A little lighter.',
    });
  });
});
