import { converter } from 'culori';
import { describe, expect, it } from 'vitest';
import { numbers, oracle } from '../../../test/oracles/colour/read-oracle.ts';
import { AppError } from '../errors.ts';
import {
  displayP3FromLab,
  hexFromLab,
  labFromDisplayP3,
  labFromHex,
  labFromSrgb,
  srgbFromLab,
} from './display.ts';
import { labFromLch, lchFromLab } from './spaces.ts';
import type { Lab } from './triples.ts';

describe('labFromHex', () => {
  // colorjs.io 0.7.1 checked against culori 4.0.2 (CSS Color 4).
  it('matches 181 sRGB colours, and the code comes back', () => {
    let codes = 0;
    for (const row of oracle('srgb-conversions.csv')) {
      const expected = numbers(row, 'lab_L', 'lab_a', 'lab_b');
      const lab = labFromHex(row.hex);
      for (let k = 0; k < 3; k++) expect(Math.abs(lab[k] - expected[k])).toBeLessThan(5e-5);
      expect(hexFromLab(lab)).toBe(row.hex.toLowerCase());
      expect(srgbFromLab(lab).shown).toBe(true);
      codes++;
    }
    expect(codes).toBe(181);
  });

  it('agrees with culori on a cube of 9 by 9 by 9', () => {
    const theirs = converter('lab');
    for (let r = 0; r <= 8; r++)
      for (let g = 0; g <= 8; g++)
        for (let b = 0; b <= 8; b++) {
          const lab = labFromSrgb([r / 8, g / 8, b / 8]);
          const their = theirs({ mode: 'rgb', r: r / 8, g: g / 8, b: b / 8 });
          [their.l, their.a, their.b].forEach((v, k) => {
            expect(Math.abs(lab[k] - v)).toBeLessThan(1e-4);
          });
        }
  });

  // 119 grey of sRGB is 0.1845 linear (IEC 61966-2-1), computed from the formula; L* of that.
  it('reads the 119 grey', () => {
    expect(labFromHex('#777777')[0]).toBeCloseTo(116 * Math.cbrt(0.1845) - 16, 1);
  });

  it('takes three digits, capitals and a missing #', () => {
    expect(labFromHex('#abc')).toEqual(labFromHex('AABBCC'));
  });

  it.each(['', '#12345', '#1234567', 'ggg', 'rgb(1,2,3)'])('refuses %j', (text) => {
    expect(() => labFromHex(text)).toThrow(AppError);
  });
});

describe('CSS Color 4', () => {
  // W3C web-platform-tests and the tests of colorjs.io. sRGB runs past 0-1 there, as published to 5
  // digits; the row of lab-001 is given to 8 bits, hence its half a unit.
  it('has the published pairs of sRGB with Lab, LCh and Display P3', () => {
    const rows = oracle('css-color4-conversions.csv');
    const toLab = (space: string, three: Lab): Lab | undefined => {
      if (space === 'lab-d50') return three;
      if (space === 'lch-d50') return labFromLch(three);
      if (space === 'display-p3') return labFromDisplayP3(three);
      return space === 'srgb' ? labFromSrgb(three) : undefined;
    };
    let pairs = 0;
    for (const row of rows) {
      const [f1, f2, f3, t1, t2, t3] = numbers(row, 'f1', 'f2', 'f3', 't1', 't2', 't3');
      const one = toLab(row.from_space, [f1, f2, f3]);
      const other = toLab(row.to_space, [t1, t2, t3]);
      if (one === undefined || other === undefined) continue;
      const tolerance = row.origin.includes('lab-001') ? 0.5 : 0.01;
      for (let k = 0; k < 3; k++) expect(Math.abs(one[k] - other[k])).toBeLessThan(tolerance);
      const rgb = row.to_space === 'srgb' ? [t1, t2, t3] : [f1, f2, f3];
      expect(srgbFromLab(one).shown).toBe(rgb.every((v) => v > -0.0019 && v < 1.0019));
      pairs++;
    }
    expect(pairs).toBe(12);
  });
});

describe('a colour the screen cannot show', () => {
  const tooStrong: Lab[] = [
    [50, 110, 0],
    [30, 20, -110],
    [92, -90, 80],
    [60, -80, -30],
    [10, 5, 60],
  ];

  it.each(tooStrong)('keeps lightness and hue and lowers chroma: %d %d %d', (...lab) => {
    for (const onto of [srgbFromLab, displayP3FromLab]) {
      const got = onto(lab);
      const [L, C, h] = lchFromLab(lab);
      const [shownL, shownC, shownH] = lchFromLab(got.lab);
      expect(got.shown).toBe(false);
      expect(shownL).toBeCloseTo(L, 10);
      expect(shownH).toBeCloseTo(h, 6);
      expect(shownC).toBeLessThan(C);
      // The edge of the gamut: a little more chroma does not fit.
      const more: Lab = [L, (lab[1] * (1.001 * shownC)) / C, (lab[2] * (1.001 * shownC)) / C];
      expect(onto(more).shown).toBe(false);
      for (const v of got.rgb) {
        expect(v).toBeGreaterThanOrEqual(0);
        expect(v).toBeLessThanOrEqual(1);
      }
    }
  });

  it('keeps more of its chroma on the wider screen', () => {
    for (const lab of tooStrong) {
      const narrow = lchFromLab(srgbFromLab(lab).lab)[1];
      expect(lchFromLab(displayP3FromLab(lab).lab)[1]).toBeGreaterThanOrEqual(narrow - 1e-9);
    }
  });

  it('is white or black beyond white and black', () => {
    expect(srgbFromLab([120, 0, 0])).toMatchObject({ css: '#ffffff', shown: false });
    expect(srgbFromLab([-5, 0, 0])).toMatchObject({ css: '#000000', shown: false });
  });
});

describe('displayP3FromLab', () => {
  it('writes CSS that says the colour', () => {
    const { css, shown } = displayP3FromLab(labFromDisplayP3([0.25, 0.5, 0.75]));
    expect(css).toBe('color(display-p3 0.2500 0.5000 0.7500)');
    expect(shown).toBe(true);
  });
});
