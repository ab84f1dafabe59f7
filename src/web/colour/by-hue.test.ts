import { describe, expect, it } from 'vitest';
import { labFromLch } from '../../core/colour/spaces.ts';
import { byHue } from './by-hue.ts';

describe('the order of hues', () => {
  it('goes from pink by red, yellow, green and blue to violet, greys last', () => {
    const hues = { pink: 350, red: 25, yellow: 95, green: 150, blue: 260, violet: 310 };
    const named = Object.entries(hues).map(([name, hue]) => ({
      name,
      lab: labFromLch([55, 45, hue]),
    }));
    named.push({ name: 'grey', lab: [50, 1, 1] });
    const sorted = named.toReversed().sort((one, other) => byHue(one.lab, other.lab));
    expect(sorted.map(({ name }) => name)).toEqual([
      'pink',
      'red',
      'yellow',
      'green',
      'blue',
      'violet',
      'grey',
    ]);
  });

  it('puts the lightest first within a hue, and among the greys', () => {
    expect(byHue(labFromLch([80, 40, 30]), labFromLch([30, 40, 32]))).toBeLessThan(0);
    expect(byHue([90, 0, 0], [20, 0, 0])).toBeLessThan(0);
  });
});
