import { describe, expect, it } from 'vitest';
import { ORDERS, recipesInOrder } from './recipe-order.ts';

const recipe = (dE00: number, chance: number, clays: number, price?: number) => ({
  dE00,
  chance,
  parts: Array.from({ length: clays }, (_, i) => `c${i}`),
  ...(price === undefined ? {} : { priceMinorPerKg: price }),
});
/** By rising dE00, as a search gives them. */
const FOUND = [
  recipe(0.1, 0.3, 4, 900),
  recipe(0.4, 0.6, 3),
  recipe(0.9, 0.8, 3, 700),
  recipe(1.5, 0.5, 2, 800),
  recipe(2.4, 0.1, 1, 100),
];
const errors = (order: (typeof ORDERS)[number]) =>
  recipesInOrder(FOUND, order, 1.8).map(({ dE00 }) => dE00);

describe('the order of recipes', () => {
  it('begins with the most likely unless asked otherwise', () => {
    expect(ORDERS[0]).toBe('likely');
    expect(errors('likely')).toEqual([0.9, 0.4, 1.5, 0.1, 2.4]);
  });

  it('is by closeness, clays or price where asked for, and those close enough come first', () => {
    expect(errors('closest')).toEqual([0.1, 0.4, 0.9, 1.5, 2.4]);
    expect(errors('fewest')).toEqual([1.5, 0.9, 0.4, 0.1, 2.4]);
    expect(errors('cheapest')).toEqual([0.9, 1.5, 0.1, 0.4, 2.4]);
  });

  it('keeps equals by rising difference', () => {
    const alike = [recipe(0.2, 0.5, 2), recipe(0.3, 0.5 + 1e-12, 2)];
    expect(recipesInOrder(alike, 'likely', 1.8).map(({ dE00 }) => dE00)).toEqual([0.2, 0.3]);
  });
});
