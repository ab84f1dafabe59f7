import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { hexFromLab, labFromHex } from '../../core/colour/display.ts';

const css = ['tokens.css', 'base.css', 'parts.css', 'screens.css', 'access.css'].map((name) =>
  readFileSync(new URL(name, import.meta.url), 'utf8'),
);

describe('the frame', () => {
  it('has the grey steps that CIELAB gives', () => {
    const steps = [...css[0].matchAll(/--l(\d\d): (#[0-9a-f]{6});/g)];
    expect(steps.length).toBe(8);
    for (const [, lightness, hex] of steps) expect(hex).toBe(hexFromLab([Number(lightness), 0, 0]));
  });

  // 0.01 is the rounding of 8 bits and of the matrices of CSS Color 4.
  it('holds nothing that has a colour', () => {
    let seen = 0;
    for (const [hex] of css.join('\n').matchAll(/#(?:[0-9a-f]{3}){1,2}\b/gi)) {
      const [, a, b] = labFromHex(hex);
      expect(Math.hypot(a, b)).toBeLessThan(0.01);
      seen++;
    }
    expect(seen).toBeGreaterThanOrEqual(9);
    expect(css.join('\n')).not.toMatch(/\b(?:rgba?|hsla?|hwb|lab|lch|oklch|oklab|color)\(/);
    expect(css.join('\n')).not.toMatch(/(?<!repeating-)(?:linear|radial|conic)-gradient\(/);
  });
});
