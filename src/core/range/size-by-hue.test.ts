import { describe, expect, it } from 'vitest';
import { joined, rangeOf, volumeByHue, volumeOf } from '../colour/colour-range.ts';
import { labFromLch } from '../colour/spaces.ts';
import type { Lab } from '../colour/triples.ts';
import { huesOfLine, meanChroma } from './hues-of-line.ts';

/** Every point of a grid, a step apart, that is in a solid. */
function solid(step: number, holds: (lab: Lab) => boolean): Lab[] {
  const points: Lab[] = [];
  for (let l = 0; l <= 100; l += step)
    for (let a = -60; a <= 60; a += step)
      for (let b = -60; b <= 60; b += step) if (holds([l, a, b])) points.push([l, a, b]);
  return points;
}

const cylinder = (radius: number, from: number, to: number) =>
  solid(1, ([l, a, b]) => l >= from && l < to && Math.hypot(a, b) <= radius);

describe('the size of a range', () => {
  it('is that of a cube, a little more for its corners', () => {
    const cube = solid(
      1,
      ([l, a, b]) => l >= 30 && l < 70 && Math.max(Math.abs(a), Math.abs(b)) <= 20,
    );
    expect(volumeOf(rangeOf(cube)) / 40 ** 3).toBeGreaterThan(0.99);
    expect(volumeOf(rangeOf(cube)) / 40 ** 3).toBeLessThan(1.08);
  });

  it('is that of a cylinder, and of two cylinders over each other', () => {
    const wide = rangeOf(cylinder(40, 40, 60));
    const whole = Math.PI * 40 ** 2 * 20;
    expect(volumeOf(wide) / whole).toBeGreaterThan(0.96);
    expect(volumeOf(wide) / whole).toBeLessThan(1.01);
    const high = rangeOf(cylinder(40, 60, 80));
    expect(volumeOf(joined(wide, high))).toBeCloseTo(volumeOf(wide) + volumeOf(high), 6);
    // What is inside adds nothing.
    expect(volumeOf(joined(wide, rangeOf(cylinder(20, 45, 50))))).toBeCloseTo(volumeOf(wide), 6);
  });

  it('is shared out evenly among the hues of a cylinder', () => {
    const volumes = [...volumeByHue(rangeOf(cylinder(40, 40, 60))).values()];
    expect(volumes.length).toBe(10);
    for (const volume of volumes) expect(volume / volumes[0]).toBeCloseTo(1, 1);
  });

  it('is nothing without colours', () => {
    expect(volumeOf(rangeOf([]))).toBe(0);
  });
});

describe('a line hue by hue', () => {
  it('has the mean chroma of its blocks, and its strongest mix', () => {
    const blocks = [labFromLch([50, 40, 20]), labFromLch([60, 60, 30]), labFromLch([90, 3, 200])];
    const mixes = [...blocks, labFromLch([55, 70, 25]), labFromLch([40, 10, 130])];
    const hues = huesOfLine(blocks, mixes, rangeOf(mixes));
    const red = hues.find(({ hue }) => hue === 'red')!;
    expect(red.clays).toBe(2);
    expect(red.meanChroma).toBeCloseTo(50, 9);
    expect(red.strongest!.chroma).toBeCloseTo(70, 9);
    // A grey counts for no hue, and a hue that only mixes have has no blocks.
    expect(hues.reduce((sum, { clays }) => sum + clays, 0)).toBe(2);
    const green = hues.find(({ hue }) => hue === 'yellow-green')!;
    expect(green.clays).toBe(0);
    expect(green.meanChroma).toBeUndefined();
    expect(green.strongest!.chroma).toBeCloseTo(10, 9);
    expect(hues.find(({ hue }) => hue === 'violet')!.strongest).toBeUndefined();
    expect(meanChroma(blocks)).toBeCloseTo((40 + 60 + 3) / 3, 9);
  });
});
