import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { hexFromLab, labFromHex } from '../../core/colour/display.ts';

const WEB = new URL('..', import.meta.url);
const tokens = readFileSync(new URL('look/tokens.css', WEB), 'utf8');
/** All style sheets of the page, those of lazy screens too. */
const css = readdirSync(WEB, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.css'))
  .map((name) => readFileSync(new URL(name, WEB), 'utf8'));

describe('the frame', () => {
  it('has the grey steps that CIELAB gives', () => {
    const steps = [...tokens.matchAll(/--l(\d\d): (#[0-9a-f]{6});/g)];
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
