import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { barePaper, type PaperSample } from './bare-paper.ts';
import { lightAgainst, paperLight } from './paper-light.ts';
import type { Point } from './plane-view.ts';
import { traySheetLayout } from './sheet-layout.ts';

const layout = traySheetLayout('A4');
const field = ([x, y]: Point) => Math.exp(-0.3 + 0.001 * x - 0.0008 * y - 2e-6 * (x - 90) ** 2);

function samples(
  spoil: (at: Point, random: ReturnType<typeof randomFrom>) => number,
): PaperSample[] {
  const random = randomFrom(3);
  return barePaper(layout).map((at) => {
    const v = field(at) * (1 + 0.004 * random.normal()) * spoil(at, random);
    return { at, light: [0.9 * v, v, 1.1 * v] };
  });
}

const here: Point = [60, 200];
const there: Point = [150, 60];
const truth = field(here) / field(there);

describe('paperLight', () => {
  it('shows how light differs from place to place', () => {
    const light = paperLight(
      samples(() => 1),
      layout,
    )!;
    for (const ratio of lightAgainst(light, layout, here, there)) {
      expect(Math.abs(ratio / truth - 1)).toBeLessThan(0.005);
    }
    expect(light.unlike).toBeLessThan(0.02);
  });

  it('is not moved by dirt and things on the paper, a seventh of it', () => {
    const light = paperLight(
      samples((_, random) => (random.uniform() < 0.15 ? 0.3 + 0.5 * random.uniform() : 1)),
      layout,
    )!;
    for (const ratio of lightAgainst(light, layout, here, there)) {
      expect(Math.abs(ratio / truth - 1)).toBeLessThan(0.02);
    }
  });

  it('says when a shadow falls on a part', () => {
    const light = paperLight(
      samples(([x]) => (x > 140 ? 0.6 : 1)),
      layout,
    )!;
    expect(Math.abs(Math.abs(light.smooth.shadows[0].depth) / Math.log(1 / 0.6) - 1)).toBeLessThan(
      0.02,
    );
  });

  it('follows two shadows, one over the other', () => {
    const shade = ([x, y]: Point) => (x > 130 ? 0.6 : 1) * (y + 0.4 * x > 250 ? 0.75 : 1);
    const light = paperLight(samples(shade), layout)!;
    expect(light.smooth.shadows).toHaveLength(2);
    const lit: Point = [60, 60];
    for (const place of [
      [170, 60],
      [60, 280],
      [170, 250],
      [100, 100],
    ] as const) {
      const expected = (field(place) * shade(place)) / (field(lit) * shade(lit));
      const estimated = lightAgainst(light, layout, place, lit)[1];
      expect(Math.abs(estimated / expected - 1), String(place)).toBeLessThan(0.04);
    }
  });

  it('says when light is uneven in a way no single edge explains', () => {
    const light = paperLight(
      samples(([x, y]) => (Math.abs(x - 100) < 25 && y > 120 ? 0.7 : 1)),
      layout,
    )!;
    expect(light.unevenness).toBeGreaterThan(0.03);
  });

  it('has no answer from a few samples', () => {
    expect(paperLight(samples(() => 1).slice(0, 20), layout)).toBeUndefined();
  });
});
