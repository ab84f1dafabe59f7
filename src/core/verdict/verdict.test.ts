import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { AppError } from '../errors.ts';
import {
  plusMinusOf,
  sidesOf,
  verdict,
  verdictInShort,
  verdictLimit,
  verdictWord,
} from './verdict.ts';

const none = new Float64Array(9);
const round = (sigma: number) =>
  Float64Array.from([1, 0, 0, 0, 1, 0, 0, 0, 1], (v) => v * sigma ** 2);
const labs = fc.tuple(
  fc.double({ min: 5, max: 95, noNaN: true }),
  fc.double({ min: -60, max: 60, noNaN: true }),
  fc.double({ min: -60, max: 60, noNaN: true }),
);

describe('the word of a distance', () => {
  // 0.8 and 1.8: thresholds of perception and acceptance, R. D. Paravina et al., J. Esthet. Restor.
  // Dent. 27(S1), 2015, as quoted there for dE00. 3.5 and 7: common practice, no source.
  it.each([
    [0, 'same'],
    [0.8, 'same'],
    [0.81, 'match'],
    [1.8, 'match'],
    [1.81, 'close'],
    [3.5, 'close'],
    [3.51, 'family'],
    [7, 'family'],
    [7.01, 'different'],
  ])('%f is %s', (dE00, word) => {
    expect(verdictWord(dE00)).toBe(word);
  });
});

// Grade 3 of the grey scale for change in colour is 3.4 +/- 0.4 [ISO105-A02].
it('calls close what the grey scale has at grade 3', () => {
  expect(Math.abs(verdictLimit('close') - 3.4)).toBeLessThanOrEqual(0.4);
});

describe('the size of a ±', () => {
  it('is the root mean square distance of colours drawn from it', () => {
    // An independent way: 20,000 draws, Box and Muller, from a linear congruential generator.
    let state = 12345;
    const uniform = () => (state = (state * 1664525 + 1013904223) % 4294967296) / 4294967296;
    const normal = () =>
      Math.sqrt(-2 * Math.log(uniform() || 1e-12)) * Math.cos(2 * Math.PI * uniform());
    const root = [
      [1.2, 0, 0],
      [-0.6, 2.1, 0],
      [0.4, 1.1, 1.7],
    ];
    const covariance = root.flatMap((ri) =>
      root.map((rj) => ri.reduce((sum, v, k) => sum + v * rj[k], 0)),
    );
    for (const lab of [
      [45, -30, 20],
      [80, 5, 60],
      [30, 2, -3],
    ] as Lab[]) {
      let sum = 0;
      for (let n = 0; n < 20_000; n++) {
        const z = [normal(), normal(), normal()];
        const [l, a, b] = lab.map((v, i) => v + root[i].reduce((s, r, k) => s + r * z[k], 0));
        sum += deltaE2000(lab, [l, a, b]) ** 2;
      }
      const drawn = Math.sqrt(sum / 20_000);
      expect(Math.abs(plusMinusOf(lab, covariance) / drawn - 1)).toBeLessThan(0.1);
    }
  });

  it('is 0 without uncertainty, and refuses a matrix that is no covariance', () => {
    expect(plusMinusOf([50, 10, 10], none)).toBe(0);
    for (const bad of [-1, Number.NaN]) {
      expect(() =>
        plusMinusOf(
          [50, 10, 10],
          none.map(() => bad),
        ),
      ).toThrow(AppError);
    }
  });
});

describe('a verdict', () => {
  it('is never finer than its ±', () => {
    fc.assert(
      fc.property(labs, labs, fc.double({ min: 0, max: 6, noNaN: true }), (aim, got, sigma) => {
        const { word, dE00, plusMinus } = verdict(aim, got, round(sigma));
        expect(word).toBe(verdictWord(Math.max(dE00, plusMinus)));
      }),
    );
  });

  it('says first that colours are predicted alike, then what is not certain', () => {
    const about = (sigma: number) => verdict([60, 0, 50], [60, 0, 50.5], round(sigma));
    const [close, family, different] = [1.6, 5, 16].map(about);
    expect([close, family, different].map(({ word }) => word)).toEqual([
      'close',
      'family',
      'different',
    ]);
    expect(close.sentence).toMatch(
      /^predicted alike, but not certain: with these clays it is only certain to be close; may come out/,
    );
    expect(family.sentence).toMatch(
      /^predicted alike, but not certain: .* of the same family; may/,
    );
    expect(different.sentence).toMatch(/^predicted alike, but not certain; may come out/);
    expect([close, family, different].map(verdictInShort)).toEqual([
      'predicted alike, at least close',
      'predicted alike, at least of the same family',
      'predicted alike, not certain',
    ]);
    const near = verdict([60, 0, 50], [57, 0, 50], round(5));
    expect([near.word, verdictInShort(near)]).toEqual([
      'family',
      'predicted close, at least of the same family',
    ]);
    expect(verdictInShort(verdict([60, 0, 50], [60, 0, 30], none))).toBe('different');
    expect(verdictInShort(verdict([60, 0, 50], [60, 0, 50], none))).toBe('the same');
  });

  it('says what may go wrong', () => {
    const unsure = Float64Array.from([0.04, 0, 0, 0, 2.6, 0, 0, 0, 0.04]);
    // On the yellow axis red and green are across the hue: the uncertain axis is the hue itself.
    expect(verdict([60, 0, 50], [60, -0.4, 50], unsure).sentence).toMatch(
      /^a match, as far as these tiles show; may come out (slightly|a little) greener$/,
    );
    expect(verdict([60, 0, 50], [60, 0, 50], none).sentence).toBe('the same');
    expect(verdict([60, 0, 50], [60, 0, 30], none).sentence).toBe('different; far duller');
    expect(verdict([50, 0, 0], [53, 0, 0], none).sentence).toBe('close; a little lighter');
  });
});

describe('the sides of a difference', () => {
  it.each<[string, Lab, Lab]>([
    ['lighter', [50, 20, 20], [60, 20, 20]],
    ['darker', [50, 20, 20], [40, 20, 20]],
    ['brighter', [50, 20, 20], [50, 30, 30]],
    ['duller', [50, 20, 20], [50, 12, 12]],
    ['yellower', [50, 40, 0], [50, 37, 15]],
    ['bluer', [50, 40, 0], [50, 37, -15]],
    ['redder', [50, 0, 40], [50, 15, 37]],
    ['greener', [50, 0, 40], [50, -15, 37]],
    ['bluer', [50, 0, 0], [50, 0, -5]],
    ['redder', [50, 0, 0], [50, 5, 0]],
  ])('%s', (word, from, to) => {
    expect(sidesOf(from, to)[0].word).toBe(word);
  });
});
