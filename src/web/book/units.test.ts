import { describe, expect, it } from 'vitest';
import { USUAL_UNITS } from '../../domain/usual-units.ts';
import { massInWords } from './units.ts';

describe('amounts in words', () => {
  it('says a tenth of a gram where there are few, and whole grams else', () => {
    const said = [0, 0.34, 3.47, 9, 9.96, 46.4].map((grams) => massInWords(grams, USUAL_UNITS));
    expect(said).toEqual(['0 g', '0.3 g', '3.5 g', '9 g', '10 g', '46 g']);
  });
});
