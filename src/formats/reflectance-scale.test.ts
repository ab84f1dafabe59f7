import { describe, expect, it } from 'vitest';
import { scaleOf, type WrittenSpectrum } from './reflectance-scale.ts';

const spectrum = (line: number, ...values: number[]) => ({
  line,
  values,
  recipe: `clay ${line}`,
  included: false,
});
const of = (...spectra: WrittenSpectrum[]) => scaleOf(spectra, 'tiles.csv');

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
  it('leaves one typing error among 0-1 to the range check', () => {
    expect(of(spectrum(2, 0.45, 0.5, 55), spectrum(3, 0.4, 0.5, 0.6))).toBe(1);
  });
  it('is refused where black in per cent and pale on 0-1 look the same', () => {
    const pale = spectrum(2, 0.4, 0.9, 1.1);
    expect(() => of(pale)).toThrow('tiles.csv, line 2: found reflectances from 0.4 to 1.1');
    // One value that no clay in per cent has, gloss in the numbers, L, or many mixes decide.
    expect(of(pale, spectrum(3, 0.05, 0.5, 0.9))).toBe(1);
    expect(of({ ...pale, included: true })).toBe(1);
    expect(of({ ...pale, lightness: 90 })).toBe(1);
    expect(of({ ...pale, lightness: 9 })).toBe(100);
    expect(of(pale, ...[3, 4, 5].map((line) => spectrum(line, 0.5, 0.9)))).toBe(1);
    expect(() =>
      of(pale, { ...pale, line: 3 }, { ...pale, line: 4 }, { ...pale, line: 5 }),
    ).toThrow();
  });
  it('is refused where rows differ or none decides', () => {
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
