import { stockPredictor } from '../bench/stock.ts';
import { knownClays } from '../src/core/find/known-clays.ts';

export const SIX_NAMES = ['White', 'Black', 'Kelp', 'Limpet', 'Urchin', 'Dulse'];

/** What errors call the parts of a question, where no shell has its own words. */
export const PLAIN_HINTS = {
  ...{ all: 'the clays', names: 'inspect', line: 'line', perhapsLine: 'line' },
  ...{ stock: 'stock', grams: 'grams', density: 'density' },
};

/** Six learned clays, for questions that need no more. */
export const sixClays = knownClays(stockPredictor(6), SIX_NAMES, 'volume', PLAIN_HINTS);
