import { describe, expect, it } from 'vitest';
import { scaleOf } from './reflectance-scale.ts';

const spectrum = (line: number, ...values: number[]) => ({ line, values });
const of = (...spectra: { line: number; values: number[] }[]) => scaleOf(spectra, 'tiles.csv');

describe('the scale of a file of spectra', () => {
  it('is 0-1 where nothing is above 1.3', () => {
    expect(of()).toBe(1);
    expect(of(spectrum(2, 0.9, 0.95, 1.2), spectrum(3, -0.01, 0.001, 0.002))).toBe(1);
  });
  it('is 0-100 where rows are mostly above', () => {
    expect(of(spectrum(2, 45, 70, 90))).toBe(100);
    expect(of(spectrum(2, 4, 4, 4.1))).toBe(100);
    // A deep red in per cent: most bands below 1.3, settled by the row beside it.
    expect(of(spectrum(2, 0.9, 1.1, 40), spectrum(3, 45, 70, 90))).toBe(100);
  });
  it('leaves one slip among 0-1 to the range check', () => {
    expect(of(spectrum(2, 0.45, 0.5, 55), spectrum(3, 0.4, 0.5, 0.6))).toBe(1);
  });
  it('is refused where rows differ or none tells', () => {
    expect(() => of(spectrum(2, 0.4, 0.5), spectrum(3, 40, 50))).toThrow(
      'tiles.csv, line 3: found reflectances up to 50',
    );
    expect(() => of(spectrum(2, 40, 50), spectrum(7, 0.4, 0.5))).toThrow(
      'tiles.csv, line 7: found reflectances up to 0.5',
    );
    expect(() => of(spectrum(2, 0.9, 1.1, 40))).toThrow(
      'tiles.csv, line 2: found reflectances up to 40',
    );
  });
});
