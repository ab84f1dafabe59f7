import { describe, expect, it } from 'vitest';
import { numbers, oracle } from '../../test/oracles/colour/read-oracle.ts';
import { AppError } from '../core/errors.ts';
import { readAim } from './aim.ts';

const house = { light: 'D50', observer: 2 } as const;

describe('an aim', () => {
  it.each<[string, number[]]>([
    ['60,-20,20', [60, -20, 20]],
    [' 60 , -20.5 , +20 ', [60, -20.5, 20]],
    ['60;-20,5;20', [60, -20.5, 20]],
    ['60,0 -20,5 .5', [60, -20.5, 0.5]],
    ['0,0,0', [0, 0, 0]],
  ])('%s', (text, lab) => {
    expect(readAim(text, house).lab).toEqual(lab);
    // L, a, b are values under the light that was asked for: nothing is converted.
    expect(readAim(text, { light: 'A', observer: 10 }).lab).toEqual(lab);
  });

  it('as a screen colour is that of the published conversions', () => {
    // test/oracles/colour/srgb-conversions.csv, computed by colorjs.io and checked with culori.
    const rows = oracle('srgb-conversions.csv').filter((row) =>
      /^#[0-9a-f]{6}$/i.test(row.hex ?? ''),
    );
    expect(rows.length).toBeGreaterThan(20);
    for (const row of rows.slice(0, 40)) {
      const expected = numbers(row, 'lab_L', 'lab_a', 'lab_b');
      readAim(row.hex, house).lab.forEach((v, i) => {
        expect(v).toBeCloseTo(expected[i], 3);
      });
    }
  });

  it('in Munsell is a colour, and past the tables the nearest, with a note', () => {
    // N 5/ is Y 19.27 % of magnesium oxide by ASTM D1535, and L = 116 cbrt(Y) - 16.
    expect(readAim('N 5/', house).lab[0]).toBeCloseTo(51, 0);
    expect(readAim('5GY 6/4', house).notes).toEqual([]);
    expect(readAim('5GY 6/40', house).notes[0]).toContain('further out');
  });

  it('says that a screen colour is only alike under another light', () => {
    const { notes } = readAim('#8a9b6c', { light: 'A', observer: 2 });
    expect(notes[0]).toContain('looks alike');
  });

  it.each([
    '',
    '60,20',
    '60,-20,20,1',
    '60,x,20',
    '#12',
    '#12345g',
    '5ZZ 4/4',
    '60,1e3,0',
    '1,2,300',
  ])('refuses %j', (text) => {
    expect(() => readAim(text, house)).toThrow(AppError);
  });
});
