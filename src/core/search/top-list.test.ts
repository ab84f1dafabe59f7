import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { TopList } from './top-list.ts';

const LAB = [50, 1, 2];
const shown = (list: TopList) =>
  list.sorted().map(({ set, counts, dE00 }) => [counts.map((n, i) => `${n}x${set[i]}`), dE00]);

describe('the best so far', () => {
  it('are ordered by error, then by fewer parts, then by names', () => {
    // Names run against the numbers: clay 3 comes first.
    const list = new TopList(10, [3, 2, 1, 0]);
    list.offer([0], [1], 1, LAB, 2);
    list.offer([0, 1], [2, 1], 2, LAB, 1);
    list.offer([1, 2], [1, 1], 2, LAB, 1);
    list.offer([2, 3], [1, 2], 2, LAB, 1);
    list.offer([2, 3], [2, 1], 2, LAB, 1);
    list.offer([3, 0], [1, 1], 2, LAB, 1);
    expect(shown(list)).toEqual([
      [['1x0', '1x3'], 1],
      [['1x1', '1x2'], 1],
      // The same names: more of the first one first.
      [['1x2', '2x3'], 1],
      [['2x2', '1x3'], 1],
      [['2x0', '1x1'], 1],
      [['1x0'], 2],
    ]);
  });

  it('ignore differences of rounding', () => {
    const list = new TopList(2, [0, 1]);
    list.offer([1], [1], 1, LAB, 1);
    list.offer([0], [1], 1, LAB, 1 + 1e-13);
    expect(shown(list).map(([recipe]) => recipe)).toEqual([['1x0'], ['1x1']]);
    // It also keeps an equal one out of a full list.
    const full = new TopList(1, [0, 1]);
    full.offer([1], [1], 1, LAB, 1);
    expect(full.offer([0], [1], 1, LAB, 1 + 1e-13)).toBe(true);
    expect(shown(full)[0][0]).toEqual(['1x0']);
  });

  it('list a recipe once, whatever the order of its clays', () => {
    const list = new TopList(5, [0, 1, 2]);
    expect(list.offer([0, 2], [3, 1], 2, LAB, 1)).toBe(true);
    expect(list.offer([2, 0], [1, 3], 2, LAB, 1)).toBe(false);
    expect(list.offer([2, 0], [1, 3], 2, LAB, 1 + 1e-13)).toBe(false);
    expect(list.offer([2, 0], [3, 1], 2, LAB, 1)).toBe(true);
    expect(list.sorted()).toHaveLength(2);
  });

  it('give the worst error that matters: the bound until full, then that of the last one listed', () => {
    const list = new TopList(2, [0, 1, 2], 5);
    expect(list.worst).toBe(5);
    expect(list.offer([0], [1], 1, LAB, 5.1)).toBe(false);
    expect(list.offer([0], [1], 1, LAB, 4)).toBe(true);
    expect(list.worst).toBe(5);
    list.offer([1], [1], 1, LAB, 3);
    expect(list.worst).toBeCloseTo(4, 9);
    expect(list.offer([2], [1], 1, LAB, 4.5)).toBe(false);
    expect(list.offer([2], [1], 1, LAB, 1)).toBe(true);
    expect(list.worst).toBeCloseTo(3, 9);
    expect(new TopList(2, [0]).worst).toBe(Number.POSITIVE_INFINITY);
  });

  it('are those of sorting all that was offered, in any order of offering', () => {
    const offers = Array.from({ length: 40 }, (_, i) => ({
      set: i % 3 === 0 ? [i % 4] : [i % 4, 4 + (i % 2)],
      counts: i % 3 === 0 ? [1] : [1 + (i % 5), 2],
      // Many are equal.
      dE00: Math.floor(i / 4) / 2,
    }));
    const whole = new TopList(40, [5, 3, 1, 0, 2, 4]);
    for (const { set, counts, dE00 } of offers) whole.offer(set, counts, set.length, LAB, dE00);
    // One recipe always has one error in a search; here the first one offered stays.
    const once = whole.sorted();
    fc.assert(
      fc.property(
        fc.shuffledSubarray([...once], { minLength: once.length }),
        fc.integer({ min: 1, max: 12 }),
        (order, size) => {
          const list = new TopList(size, [5, 3, 1, 0, 2, 4]);
          for (const { set, counts, lab, dE00 } of order) {
            list.offer(set, counts, set.length, lab, dE00);
          }
          expect(list.sorted()).toEqual(once.slice(0, size));
        },
      ),
      { seed: 4102, numRuns: 300 },
    );
  });
});
