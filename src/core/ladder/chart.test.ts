import { describe, expect, it } from 'vitest';
import { type ChartClay, chartOf, gridOf } from './chart.ts';

const clay = (index: number, clayClass: ChartClay['clayClass'], line = 'one'): ChartClay => ({
  clay: index,
  clayClass,
  line,
  tiles: index,
});

describe('chartOf', () => {
  it('has each clay alone, with white, black and translucent, and every pair of a line once', () => {
    const rows = chartOf([
      clay(0, 'opaque'),
      clay(1, 'opaque'),
      clay(2, 'white'),
      clay(3, 'black'),
      clay(4, 'translucent'),
    ]);
    expect(rows.filter(({ kind }) => kind === 'alone').map((row) => row.clay)).toEqual([
      0, 1, 2, 3, 4,
    ]);
    const pairs = rows.flatMap((row) =>
      row.other === undefined ? [] : [[row.clay, row.other].sort((a, b) => a - b).join(' ')],
    );
    // 5 clays make 10 pairs.
    expect(pairs).toHaveLength(10);
    expect(new Set(pairs).size).toBe(10);
    for (const { other, cells } of rows) expect(cells).toHaveLength(other === undefined ? 1 : 3);
    expect(rows.find((row) => row.clay === 0 && row.kind === 'black')?.cells[0]).toEqual([
      { clay: 0, parts: 7 },
      { clay: 3, parts: 1 },
    ]);
  });

  it('shows a clay with its white under the clay, wherever the white is listed', () => {
    const rows = chartOf([clay(0, 'white'), clay(1, 'opaque'), clay(2, 'opaque')]);
    expect(rows.filter(({ kind }) => kind === 'white').map((row) => [row.clay, row.other])).toEqual(
      [
        [1, 0],
        [2, 0],
      ],
    );
    expect(rows.filter(({ kind }) => kind === 'clay').map((row) => [row.clay, row.other])).toEqual([
      [1, 2],
    ]);
  });

  it('takes the white of the own line, else the best known, and pairs no clays of two lines', () => {
    const rows = chartOf([
      clay(0, 'opaque', 'one'),
      clay(1, 'white', 'one'),
      clay(2, 'opaque', 'two'),
      clay(3, 'white', 'three'),
    ]);
    const whiteOf = (index: number) =>
      rows.find((row) => row.kind === 'white' && row.clay === index)?.other;
    expect(whiteOf(0)).toBe(1);
    expect(whiteOf(2)).toBe(3);
    expect(rows.filter(({ kind }) => kind === 'clay')).toEqual([]);
  });
});

describe('gridOf', () => {
  it('puts every mix down with every mix across, half and half', () => {
    const one = [{ clay: 0, parts: 1 }];
    const two = [
      { clay: 1, parts: 2 },
      { clay: 2, parts: 1 },
    ];
    const [[alone, half], [, same]] = gridOf([one, two], [one, two]);
    expect(alone).toEqual(one);
    expect(half).toEqual([
      { clay: 0, parts: 3 },
      { clay: 1, parts: 2 },
      { clay: 2, parts: 1 },
    ]);
    expect(same).toEqual(two);
  });
});
