import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { labFromHex } from '../../core/colour/display.ts';
import { isNearBackground } from './near-background.ts';

const tokens = readFileSync(new URL('../look/tokens.css', import.meta.url), 'utf8');
const grey = (step: string) => labFromHex(new RegExp(`--${step}: (#\\w+)`).exec(tokens)![1]);

describe('colours like the ground', () => {
  it('knows every ground of the style sheet as like itself', () => {
    expect(isNearBackground(grey('l98'))).toBe('light');
    expect(isNearBackground(grey('l94'))).toBe('light');
    expect(isNearBackground(grey('l70'))).toBe('mid');
    expect(isNearBackground(grey('l18'))).toBe('dark');
  });

  it('leaves alone what stands out on all of them', () => {
    expect(isNearBackground([45, 0, 0])).toBeUndefined();
    expect(isNearBackground([80, 0, 0])).toBeUndefined();
    // As light as the ground, but coloured.
    expect(isNearBackground([70, 25, 10])).toBeUndefined();
    expect(isNearBackground([18, 5, -25])).toBeUndefined();
  });
});
