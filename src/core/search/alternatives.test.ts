import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alternativesTo, frontierOf } from './alternatives.ts';
import type { SearchHit } from './search-options.ts';

const recipe = (dE00: number, parts: Readonly<Record<number, number>>): SearchHit => ({
  parts: Object.entries(parts).map(([clay, n]) => ({ clay: Number(clay), parts: n })),
  lab: [50, 0, 0],
  dE00,
});
const unpriced = () => undefined;
const totalOf = ({ parts }: SearchHit) => parts.reduce((sum, part) => sum + part.parts, 0);
const reasons = (...of: Parameters<typeof alternativesTo>) =>
  alternativesTo(...of).map(({ reason, recipe }) => `${reason}: ${recipe.dE00}`);

const BEST = recipe(0.5, { 0: 5, 1: 4, 2: 2, 3: 1 });

describe('other recipes worth showing', () => {
  it('has fewer clays, fewer parts, a lower price or other clays', () => {
    const list = [
      BEST,
      recipe(0.6, { 0: 5, 1: 4, 2: 3 }),
      recipe(0.7, { 0: 2, 1: 1, 2: 1 }),
      recipe(0.9, { 0: 7, 1: 4, 2: 1 }),
      recipe(1.2, { 0: 3, 4: 3, 5: 3 }),
      recipe(1.3, { 6: 5, 4: 3 }),
      recipe(2, { 8: 1 }),
    ];
    const price = ({ dE00 }: SearchHit) => (dE00 === 0.9 ? 3 : 5);
    expect(reasons(list, 1.8, price)).toEqual([
      'fewest clays: 1.3',
      'fewest parts: 0.7',
      'cheapest: 0.9',
      'other clays: 1.2',
    ]);
    // 1.3 is fewest clays already, and half of its clays are those of 1.2.
    expect(reasons(list, 2, price)).toEqual([
      'fewest clays: 2',
      'cheapest: 0.9',
      'other clays: 1.2',
      'other clays: 1.3',
    ]);
  });

  it('is nothing where the best is the least in all and alone', () => {
    expect(alternativesTo([], 1.8, unpriced)).toEqual([]);
    expect(alternativesTo([BEST], 1.8, unpriced)).toEqual([]);
    const alone = recipe(0.3, { 4: 1 });
    expect(alternativesTo([alone, recipe(0.4, { 4: 3, 5: 1 })], 1.8, unpriced)).toEqual([]);
  });

  it('is hardly farther than the best where nothing is close enough', () => {
    const far = recipe(30, { 0: 3, 1: 1 });
    expect(reasons([far, recipe(31.9, { 5: 1 }), recipe(33, { 6: 1 })], 1.8, unpriced)).toEqual([
      'fewest clays: 31.9',
    ]);
  });

  it('has no price where one clay has none', () => {
    const cheap = recipe(1, { 0: 9, 1: 8, 2: 7, 3: 2 });
    expect(reasons([BEST, cheap], 1.8, (r) => (r === cheap ? 1 : undefined))).toEqual([
      'cheapest: 1',
    ]);
    expect(reasons([BEST, cheap], 1.8, (r) => (r === cheap ? undefined : 1))).toEqual([]);
  });
});

const anyList = fc
  .array(
    fc.record({
      dE00: fc.integer({ min: 0, max: 40 }).map((n) => n / 10),
      parts: fc.uniqueArray(
        fc.record({
          clay: fc.integer({ min: 0, max: 8 }),
          parts: fc.integer({ min: 1, max: 6 }),
        }),
        { minLength: 1, maxLength: 4, selector: ({ clay }) => clay },
      ),
      price: fc.option(fc.integer({ min: 1, max: 9 }), { nil: undefined }),
    }),
    { minLength: 1, maxLength: 30 },
  )
  .map((rows) => {
    const prices = new Map<SearchHit, number | undefined>();
    const list = rows
      .toSorted((a, b) => a.dE00 - b.dE00)
      .map(({ dE00, parts, price }) => {
        const found: SearchHit = { dE00, parts, lab: [50, 0, 0] };
        prices.set(found, price);
        return found;
      });
    return { list, priceOf: (of: SearchHit) => prices.get(of) };
  });

describe('for any list of recipes', () => {
  it('shows each alternative once, for a reason that holds', () => {
    fc.assert(
      fc.property(anyList, ({ list, priceOf }) => {
        const [best] = list;
        const limit = Math.max(1.8, best.dE00 + Math.min(best.dE00 / 2, 2));
        const near = list.filter(({ dE00 }) => dE00 <= limit);
        const shown = alternativesTo(list, 1.8, priceOf);
        expect(new Set(shown.map(({ recipe }) => recipe)).size).toBe(shown.length);
        const least = {
          'fewest clays': ({ parts }: SearchHit) => parts.length,
          'fewest parts': totalOf,
          cheapest: priceOf,
        };
        for (const { reason, recipe } of shown) {
          expect(recipe).not.toBe(best);
          expect(near).toContain(recipe);
          if (reason === 'other clays') {
            const mine = new Set(best.parts.map(({ clay }) => clay));
            const both = recipe.parts.filter(({ clay }) => mine.has(clay)).length;
            const fewer = Math.min(recipe.parts.length, best.parts.length);
            expect(both / fewer).toBeLessThanOrEqual(0.5);
            continue;
          }
          const of = least[reason];
          const own = of(recipe) ?? Number.NaN;
          expect(own).toBeLessThan(of(best) ?? Number.POSITIVE_INFINITY);
          // None that is close has less, and none that is closer has as little.
          for (const other of near) {
            expect(of(other) ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(own);
            if (other.dE00 < recipe.dE00) expect(of(other) ?? 1e9).toBeGreaterThan(own);
          }
        }
      }),
      { seed: 4103, numRuns: 1000 },
    );
  });

  it('the frontier holds the recipes for which no closer one is as good in clays, parts and price', () => {
    fc.assert(
      fc.property(anyList, ({ list, priceOf }) => {
        const frontier = frontierOf(list, priceOf);
        const beats = (one: SearchHit, other: SearchHit) =>
          one.parts.length <= other.parts.length &&
          totalOf(one) <= totalOf(other) &&
          (priceOf(one) ?? 1e9) <= (priceOf(other) ?? 1e9);
        list.forEach((recipe, i) => {
          expect(frontier.includes(recipe)).toBe(
            !list.slice(0, i).some((nearer) => beats(nearer, recipe)),
          );
        });
        expect(frontier.map(({ dE00 }) => dE00)).toEqual(
          frontier.map(({ dE00 }) => dE00).toSorted((a, b) => a - b),
        );
      }),
      { seed: 4104, numRuns: 1000 },
    );
  });
});
