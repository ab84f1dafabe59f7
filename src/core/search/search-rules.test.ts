import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { AppError } from '../errors.ts';
import { compileRules, type SearchRules } from './search-rules.ts';

const CLAYS = [7, 2, 5, 0];
/** Place of a clay of the model in the search. */
const at = (clay: number) => CLAYS.indexOf(clay);
const meetsRules = (rules: SearchRules, recipe: Readonly<Record<number, number>>) => {
  const set = Object.keys(recipe).map((p) => at(Number(p)));
  return compileRules(rules, CLAYS).allowsParts(set, set.length, Object.values(recipe));
};

describe('rules on shares', () => {
  it('count parts, and meet their bound', () => {
    const half: SearchRules = { least: [{ clays: [7, 2], share: 0.5 }] };
    expect(meetsRules(half, { 7: 1, 2: 2, 5: 3 })).toBe(true);
    expect(meetsRules(half, { 7: 1, 2: 2, 5: 4 })).toBe(false);
    const third: SearchRules = { most: [{ clays: [5], share: 1 / 3 }] };
    for (let n = 1; n <= 40; n++) expect(meetsRules(third, { 5: n, 0: 2 * n })).toBe(true);
    expect(meetsRules(third, { 5: 14, 0: 27 })).toBe(false);
    expect(meetsRules({ most: [{ clays: [5], share: 0 }] }, { 5: 1, 0: 1000 })).toBe(false);
  });

  it('of clays that are not in the set have nothing to count', () => {
    expect(meetsRules({ most: [{ clays: [9], share: 0 }] }, { 5: 1 })).toBe(true);
    expect(meetsRules({ least: [{ clays: [9], share: 0.01 }] }, { 5: 1 })).toBe(false);
  });

  it('by weight weigh every part', () => {
    // Arithmetic: at a density ratio r, 1 : 1 by volume is r / (1 + r) by weight, 55.6 % at 1.25.
    const weights = [1, 1, 1, 1, 1, 1.25, 1, 1];
    const most = (share: number): SearchRules => ({ most: [{ clays: [5], share, weights }] });
    expect(meetsRules(most(0.5556), { 5: 1, 0: 1 })).toBe(true);
    expect(meetsRules(most(0.5555), { 5: 1, 0: 1 })).toBe(false);
    expect(meetsRules({ least: [{ clays: [5], share: 0.5556, weights }] }, { 5: 1, 0: 1 })).toBe(
      false,
    );
  });
});

describe('rules on sets', () => {
  it('count lines', () => {
    const of = ['Saltmarsh', '', 'Brindle', '', '', 'Saltmarsh', '', 'Lantern'];
    const rules = compileRules({ lines: { of, most: 2 } }, CLAYS);
    const allows = (...clays: number[]) => rules.allowsSet(clays.map(at), clays.length);
    expect(allows(7, 2)).toBe(true);
    expect(allows(5, 0, 2)).toBe(true);
    expect(allows(7, 2, 5)).toBe(false);
    expect(compileRules(undefined, CLAYS).allowsSet([0, 1, 2, 3], 4)).toBe(true);
  });

  it('count no line for a clay that has none', () => {
    // An imagined clay has no line: it may be used beside those of one line.
    const rules = compileRules({ lines: { of: ['Saltmarsh', 'Brindle'], most: 1 } }, [0, 1, 2]);
    expect(rules.allowsSet([0, 2], 2)).toBe(true);
    expect(rules.allowsSet([2], 1)).toBe(true);
    expect(rules.allowsSet([0, 1, 2], 3)).toBe(false);
  });

  it('name what must be in it as the search numbers it, once', () => {
    expect(compileRules({ must: [0, 7, 0] }, CLAYS).must).toEqual([3, 0]);
    expect(compileRules({}, CLAYS)).toMatchObject({
      must: [],
      halfPart: Number.POSITIVE_INFINITY,
      onShares: false,
    });
  });

  it('refuse a clay that must be in it and cannot', () => {
    expect(() => compileRules({ must: [7, 3] }, CLAYS)).toThrow(AppError);
  });
});

describe('a bundle of recipes between corners', () => {
  const share = between(0, 1);
  const shareRule = fc.record({
    clays: fc.subarray([7, 2, 5, 0, 9], { minLength: 1 }),
    share: fc.oneof(share, fc.constantFrom(0, 0.25, 1 / 3, 0.5, 1)),
    weights: fc.option(fc.array(between(0.5, 2), { minLength: 10, maxLength: 10 }), {
      nil: undefined,
    }),
  });
  const rulesOf = fc.record({
    least: fc.array(shareRule, { maxLength: 2 }),
    most: fc.array(shareRule, { maxLength: 2 }),
  });
  const counts = fc.array(fc.integer({ min: 1, max: 12 }), { minLength: 3, maxLength: 3 });

  it('is never dropped while a recipe in it keeps to the rules', () => {
    let met = 0;
    let left = 0;
    fc.assert(
      fc.property(
        rulesOf.map(({ least, most }) => ({
          least: least.map(withoutNil),
          most: most.map(withoutNil),
        })),
        fc.shuffledSubarray([0, 1, 2, 3], { minLength: 3, maxLength: 3 }),
        fc.array(counts, { minLength: 1, maxLength: 5 }),
        fc.array(fc.nat(6), { minLength: 5, maxLength: 5 }),
        (words, set, corners, mixed) => {
          const rules = compileRules(words, CLAYS);
          // Rows of other compositions are in between: corners are found by their places.
          const table = new Float64Array(6 * (corners.length + 1)).fill(Number.NaN);
          const places = Int32Array.from(corners, (_, i) => 2 * i + 1);
          corners.forEach((corner, i) => {
            const total = corner[0] + corner[1] + corner[2];
            for (let k = 0; k < 3; k++) table[3 * places[i] + k] = corner[k] / total;
          });
          // Whole parts of the corners, so many of each, make a recipe between them.
          if (corners.every((_, i) => mixed[i] === 0)) mixed[0] = 1;
          const between = [0, 1, 2].map((k) =>
            corners.reduce((sum, corner, i) => sum + mixed[i] * corner[k], 0),
          );
          const may = rules.allowsBetween(set, 3, table, places);
          if (rules.allowsParts(set, 3, between)) {
            met++;
            expect(may).toBe(true);
          }
          if (!may) left++;
        },
      ),
      { seed: 4101, numRuns: 3000 },
    );
    // Both happened often, so the rule was tried.
    expect(met).toBeGreaterThan(300);
    expect(left).toBeGreaterThan(300);
  });

  it('is dropped when every corner breaks one rule', () => {
    const rules = compileRules({ most: [{ clays: [5], share: 0.2 }] }, CLAYS);
    const table = Float64Array.of(0.3, 0.7, 0.9, 0.1, 0.1, 0.9);
    const set = [at(5), at(0)];
    expect(rules.allowsBetween(set, 2, table, Int32Array.of(0, 1))).toBe(false);
    expect(rules.allowsBetween(set, 2, table, Int32Array.of(0, 2))).toBe(true);
  });

  function withoutNil<T extends { weights: number[] | undefined }>({ weights, ...rest }: T) {
    return weights === undefined ? rest : { ...rest, weights };
  }
});
