import { describe, expect, it } from 'vitest';
import { paintLab } from '../../../tools/make-paint-range.ts';
import { readPigments } from '../../../tools/pigments.ts';
import { asPaint } from '../colour/paint-range.ts';
import { lchFromLab } from '../colour/spaces.ts';
import { coloursOutside } from './missing-colours.ts';

describe('how strong a paint can be', () => {
  it('is a bound that measured paints and their tints with white keep to', () => {
    const paints = readPigments();
    const white = paints.find(({ name }) => name === 'Titanium White')!;
    for (const paint of paints) {
      for (const share of [1, 0.5, 0.2, 0.07, 0.02, 0.006]) {
        const lab = paintLab([
          [paint, share],
          [white, 1 - share],
        ]);
        const [, chroma] = lchFromLab(lab);
        const [, limited] = lchFromLab(asPaint(lab));
        // Tints between those of the table may be a little stronger than these.
        expect(limited).toBeGreaterThan(chroma - 2);
      }
    }
  });

  it('moves a colour that no paint has to its own hue and lightness', () => {
    for (const lab of [
      [53, -98, 16],
      [23, 57, -81],
      [90, 60, 60],
    ] as const) {
      const [lightness, chroma, hue] = lchFromLab(lab);
      const [l, c, h] = lchFromLab(asPaint(lab));
      expect(c).toBeLessThan(chroma - 10);
      expect(c).toBeGreaterThan(5);
      expect(l).toBeCloseTo(lightness, 9);
      expect(h).toBeCloseTo(hue, 9);
    }
    expect(asPaint([60, 20, 30])).toEqual([60, 20, 30]);
  });

  it('holds for every colour that is named as missing, the wanted ones too', () => {
    const greys = [20, 40, 60, 80].map((l) => [l, 0, 0] as const);
    const missing = coloursOutside(greys, [[53, -98, 16]]);
    expect(missing.length).toBeGreaterThan(100);
    for (const { lab } of missing) {
      expect(lchFromLab(asPaint(lab))[1]).toBeCloseTo(lchFromLab(lab)[1], 9);
    }
    const [, hue] = lchFromLab(missing[0]!.lab).slice(1);
    expect(hue).toBeCloseTo(lchFromLab([53, -98, 16])[2], 6);
  });
});
