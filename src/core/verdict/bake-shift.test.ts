import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { deltaE2000 } from '../colour/difference.ts';
import type { Lab } from '../colour/triples.ts';
import { AppError } from '../errors.ts';
import { seededChance } from '../numeric/seeded-chance.ts';
import { bakeShift, type ShiftReading } from './bake-shift.ts';
import { verdictWord } from './verdict.ts';

const RUNS = { seed: 5504, numRuns: 200 };
const round = (sigma: number) => [1, 0, 0, 0, 1, 0, 0, 0, 1].map((v) => v * sigma ** 2);
const read = (lab: Lab, own: number, photo?: string, shared = 2): ShiftReading => ({
  lab,
  own: round(own),
  ...(photo === undefined ? {} : { photo: { id: photo, covariance: round(shared) } }),
});
const labs = fc.tuple(between(10, 90), between(-50, 50), between(-50, 50));

describe('the shift from baking', () => {
  it('is the difference of the two readings, with words for its sides', () => {
    const shift = bakeShift([read([60, 0, 40], 0.1)], [read([57, 0, 40], 0.1)]);
    expect(shift.dE00).toBe(deltaE2000([60, 0, 40], [57, 0, 40]));
    expect(shift.seen).toBe(true);
    expect(shift.sides[0]).toMatchObject({ word: 'darker', seen: true });
    expect(shift.sentence).toBe(
      `Baking makes it a little darker (${shift.dE00.toFixed(1)} ± ${shift.plusMinus.toFixed(1)} dE00); the raw clay is close to the baked colour.`,
    );
  });

  it('is not reported where it is within the ±, and the word is no finer than the ±', () => {
    const shift = bakeShift([read([60, 0, 40], 1.5)], [read([59.8, 0, 40], 1.5)]);
    expect(shift.seen).toBe(false);
    expect(shift.dE00).toBeLessThan(0.8);
    expect(shift.word).toBe(verdictWord(shift.plusMinus));
    expect(shift.sentence).toMatch(/^These readings show no shift .* as far as these/);
  });

  it('has a word never finer than its ±, and a sentence without sides that are within their ±', () => {
    fc.assert(
      fc.property(labs, labs, between(0, 4), fc.boolean(), (raw, baked, sigma, oneTray) => {
        const photo = oneTray ? 'tray' : undefined;
        const shift = bakeShift([read(raw, sigma, photo)], [read(baked, sigma, photo)]);
        expect(shift.word).toBe(verdictWord(Math.max(shift.dE00, shift.plusMinus)));
        for (const side of shift.sides) {
          if (!side.seen) expect(shift.sentence).not.toContain(` ${side.word}`);
        }
        expect(shift.seen).toBe(shift.dE00 > 2 * shift.plusMinus && shift.dE00 > 0);
      }),
      RUNS,
    );
  });
});

describe('the error of a photo', () => {
  const [raw, baked]: Lab[] = [
    [60, 10, 30],
    [58, 10, 30],
  ];

  it('cancels between readings of one photo, and adds up between two', () => {
    const bare = bakeShift([read(raw, 0.3)], [read(baked, 0.3)]);
    const one = bakeShift([read(raw, 0.3, 'tray')], [read(baked, 0.3, 'tray')]);
    const two = bakeShift([read(raw, 0.3, 'before')], [read(baked, 0.3, 'after')]);
    expect(one.plusMinus).toBe(bare.plusMinus);
    expect(two.plusMinus).toBeGreaterThan(5 * one.plusMinus);
    expect(two.seen).toBe(false);
  });

  it('does not shrink when the same photo is read more often', () => {
    const of = (n: number) =>
      bakeShift(
        Array.from({ length: n }, () => read(raw, 0.3, 'before')),
        Array.from({ length: n }, () => read(baked, 0.3, 'after')),
      ).plusMinus;
    const floor = bakeShift([read(raw, 0, 'before')], [read(baked, 0, 'after')]).plusMinus;
    expect(of(100)).toBeGreaterThan(floor);
    expect(of(100)).toBeLessThan(of(1));
  });

  it('gives the ± of shifts drawn with it', () => {
    // An independent way: draw the errors, take the root mean square of what they do to the shift.
    const chance = seededChance(99);
    const step = (sigma: number): Lab => [
      sigma * chance.normal(),
      sigma * chance.normal(),
      sigma * chance.normal(),
    ];
    const plus = (...labs: Lab[]): Lab =>
      [0, 1, 2].map((i) => labs.reduce((s, l) => s + l[i], 0)) as unknown as Lab;
    let sum = 0;
    const draws = 4000;
    for (let n = 0; n < draws; n++) {
      const [tray, after] = [step(0.8), step(0.8)];
      const rawRead = plus(raw, tray, step(0.3));
      const bakedMean = plus(
        baked,
        step(0.3 / Math.SQRT2),
        tray.map((v, i) => (v + after[i]) / 2) as unknown as Lab,
      );
      // The error of the difference, set onto the baked colour.
      const error = bakedMean.map((v, i) => v - baked[i] - (rawRead[i] - raw[i])) as unknown as Lab;
      sum += deltaE2000(baked, plus(baked, error)) ** 2;
    }
    const { plusMinus } = bakeShift(
      [read(raw, 0.3, 'tray', 0.8)],
      [read(baked, 0.3, 'tray', 0.8), read(baked, 0.3, 'after', 0.8)],
    );
    expect(Math.abs(plusMinus / Math.sqrt(sum / draws) - 1)).toBeLessThan(0.1);
  });

  it('reports a shift that is none about once in 22 times at most', () => {
    // Noise along one axis is the worst case: two-sided normal beyond 2, 4.55 %, by standard tables
    // (value from memory). The band is four standard errors of 4000 draws.
    const chance = seededChance(7);
    const own = [0.25, 0, 0, 0, 0, 0, 0, 0, 0];
    let reported = 0;
    const draws = 4000;
    for (let n = 0; n < draws; n++) {
      const [one, other] = [50 + 0.5 * chance.normal(), 50 + 0.5 * chance.normal()];
      const shift = bakeShift([{ lab: [one, 20, 20], own }], [{ lab: [other, 20, 20], own }]);
      if (shift.seen) reported++;
    }
    expect(Math.abs(reported / draws - 0.0455)).toBeLessThan(0.0132);
  });
});

describe('an unusable reading', () => {
  it('is refused', () => {
    const good = read([50, 0, 0], 1);
    expect(() => bakeShift([], [good])).toThrow(AppError);
    expect(() => bakeShift([good], [])).toThrow(AppError);
    expect(() => bakeShift([good], [read([Number.NaN, 0, 0], 1)])).toThrow(AppError);
    expect(() => bakeShift([good], [{ lab: [50, 0, 0], own: [1, 2] }])).toThrow(AppError);
    expect(() => bakeShift([{ ...good, own: round(1).map((v) => -v) }], [good, good])).toThrow(
      AppError,
    );
  });
});
