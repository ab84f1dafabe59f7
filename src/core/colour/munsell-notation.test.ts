import { describe, expect, it } from 'vitest';
import { AppError } from '../errors.ts';
import { formatMunsell, parseMunsell } from './munsell-notation.ts';

describe('parseMunsell', () => {
  it.each([
    ['5R 4/14', 5, 4, 14],
    ['5r4/14', 5, 4, 14],
    [' 2.5 PB 5.5 / 6 ', 72.5, 5.5, 6],
    ['10R 3/2', 10, 3, 2],
    ['0YR 3/2', 10, 3, 2],
    ['10RP 3/2', 0, 3, 2],
    ['5GY 7.1/9.1', 35, 7.1, 9.1],
    ['N 5/', null, 5, 0],
    ['N5', null, 5, 0],
    ['n 9.5/0', null, 9.5, 0],
    ['5R 4/0', null, 4, 0],
  ])('reads %j', (text, hue, value, chroma) => {
    expect(parseMunsell(text)).toEqual({ hue, value, chroma });
  });

  it.each(['', '5R', '5R 4', '5R 4/', '11R 4/2', '5X 4/2', '5R 11/2', 'N 12/', '-5R 4/2', '4/14'])(
    'refuses %j',
    (text) => expect(() => parseMunsell(text)).toThrow(AppError),
  );
});

describe('formatMunsell', () => {
  it.each([
    [5, 4, 14, '5R 4/14'],
    [63.94, 8.11, 6.543, '3.9B 8.1/6.5'],
    [10, 3, 2, '10R 3/2'],
    [0, 3, 2, '10RP 3/2'],
    [99.98, 3, 2, '10RP 3/2'],
    [10.04, 3, 2, '10R 3/2'],
    [10.06, 3, 2, '0.1YR 3/2'],
    [5, 4, 0.04, 'N 4/'],
    [null, 9.25, 0, 'N 9.3/'],
  ])('writes hue %s, value %d, chroma %d as %s', (hue, value, chroma, text) => {
    expect(formatMunsell({ hue, value, chroma })).toBe(text);
  });

  it('writes what it reads, all round the circle', () => {
    for (let tenth = 0; tenth < 1000; tenth++) {
      const text = formatMunsell({ hue: tenth / 10, value: 5, chroma: 6 });
      expect(parseMunsell(text).hue).toBeCloseTo(tenth / 10, 9);
    }
  });
});
