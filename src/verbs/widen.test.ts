import { describe, expect, it } from 'vitest';
import { stockPredictor } from '../../bench/stock.ts';
import { asPaint } from '../core/colour/paint-range.ts';
import { lchFromLab } from '../core/colour/spaces.ts';
import { knownClays } from '../core/find/known-clays.ts';
import { answeredAtOnce } from '../core/find/work-steps.ts';
import { compareLines } from './compare-lines.ts';
import { widen } from './widen.ts';

const NAMES = ['White', 'Black', 'Kelp', 'Limpet', 'Urchin', 'Dulse'];
const hints = {
  ...{ all: 'the clays', names: 'inspect', line: 'line', perhapsLine: 'line' },
  ...{ stock: 'stock', grams: 'grams', density: 'density' },
};
const clays = knownClays(stockPredictor(6), NAMES, 'volume', hints);
const stock = (never?: string) =>
  NAMES.map((name, at) => ({
    name,
    line: at < 3 ? 'Saltmarsh' : 'Brindle',
    ...(name === never ? { buying: { choice: 'never' as const } } : {}),
  }));

describe('what would widen a line', () => {
  const asked = (never?: string) =>
    answeredAtOnce(
      widen.ask(clays, { lines: ['Saltmarsh'], top: 2, stock: stock(never), aims: ['53,-98,16'] }),
    );
  const free = asked();

  it('is no stronger than a paint can be', () => {
    expect(free.missing.length).toBeGreaterThan(0);
    for (const { lab } of free.missing) {
      expect(lchFromLab(asPaint(lab))[1]).toBeCloseTo(lchFromLab(lab)[1], 9);
    }
  });

  it('names no block that is never bought again', () => {
    const best = free.known[0]?.clay;
    expect(best).toBeDefined();
    expect(asked(best).known.map(({ clay }) => clay)).not.toContain(best);
    const { fills } = answeredAtOnce(compareLines.ask(clays, { stock: stock(best) }));
    const named = fills.flatMap(({ by }) => by.flatMap(({ blocks }) => blocks));
    expect(named.length).toBeGreaterThan(0);
    expect(named.map(({ clay }) => clay)).not.toContain(best);
  });
});
