import { describe, expect, it } from 'vitest';
import { SIX_NAMES, sixClays } from '../../test/six-clays.ts';
import { asPaint } from '../core/colour/paint-range.ts';
import { lchFromLab } from '../core/colour/spaces.ts';
import { answeredAtOnce } from '../core/find/work-steps.ts';
import { compareLines } from './compare-lines.ts';
import { widen } from './widen.ts';

const stock = (never?: string) =>
  SIX_NAMES.map((name, at) => ({
    name,
    line: at < 3 ? 'Saltmarsh' : 'Brindle',
    ...(name === never ? { buying: { choice: 'never' as const } } : {}),
  }));

describe('what would widen a line', () => {
  const asked = (never?: string) =>
    answeredAtOnce(
      widen.ask(sixClays, {
        lines: ['Saltmarsh'],
        top: 2,
        stock: stock(never),
        aims: ['53,-98,16'],
      }),
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
    const { fills } = answeredAtOnce(compareLines.ask(sixClays, { stock: stock(best) }));
    const named = fills.flatMap(({ by }) => by.flatMap(({ blocks }) => blocks));
    expect(named.length).toBeGreaterThan(0);
    expect(named.map(({ clay }) => clay)).not.toContain(best);
  });
});
