import { describe, expect, it } from 'vitest';
import type { Lab } from '../../core/colour/triples.ts';
import { reachStrip } from './reach-strip.ts';

/** Greens of one hue up to a chroma, every lightness. */
const greens = (most: number): Lab[] =>
  Array.from({ length: 101 }, (_, l) =>
    Array.from({ length: most + 1 }, (_, c): Lab => [l, -c, 0]),
  ).flat();

describe('the strip of what is missing', () => {
  it('ends where the clays end, before the colour wanted', () => {
    const strip = reachStrip(greens(30), [60, -60, 0], 'chroma', 1.8);
    // 30 of 67.2, and as far past it as the tolerance goes.
    expect(strip.endAt).toBeGreaterThan(30 / 67.2);
    expect(strip.endAt).toBeLessThan(36 / 67.2);
    expect(strip.wantedAt).toBeCloseTo(60 / 67.2, 6);
    expect(strip.steps[0].reached).toBe(true);
    expect(strip.steps.at(-1)!.reached).toBe(false);
  });

  it('goes from dark to light where lightness is missing, from either end', () => {
    const dark = greens(10).filter(([l]) => l < 50);
    const up = reachStrip(dark, [80, -8, 0], 'lightness', 1.8);
    expect(up.endAt).toBeGreaterThan(0.45);
    expect(up.endAt).toBeLessThan(0.6);
    const light = greens(10).filter(([l]) => l > 50);
    const down = reachStrip(light, [20, -8, 0], 'lightness', 1.8);
    expect(down.endAt).toBeGreaterThan(0.4);
    expect(down.endAt).toBeLessThan(0.55);
  });

  it('knows no end where nothing is reached', () => {
    expect(reachStrip([], [60, -60, 0], 'chroma', 1.8).endAt).toBeUndefined();
  });
});
