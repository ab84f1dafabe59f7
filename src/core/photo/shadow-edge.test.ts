import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../bench/random.ts';
import { barePaper, type PaperSample } from './bare-paper.ts';
import { lightAgainst, paperLight } from './paper-light.ts';
import type { Point } from './plane-view.ts';
import { fallIn, shadowEdge } from './shadow-edge.ts';
import { traySheetLayout } from './sheet-layout.ts';

const layout = traySheetLayout('A4');
/** Noise of a sample is 0.004; values at the place of the chart are predicted, not seen. */
const WITHIN = 0.01;

/** A round head's shadow: light falls by `depth` within some mm of a circle. */
function headOver(middle: Point, radiusMm: number, softMm: number, depth: number) {
  return ([x, y]: Point) => {
    const out = Math.hypot(x - middle[0], y - middle[1]) - radiusMm;
    return 1 - depth / (1 + Math.exp(out / softMm));
  };
}

function paperUnder(shade: (at: Point) => number): PaperSample[] {
  const random = randomFrom(5);
  return barePaper(layout).map((at) => {
    // One sample in twenty is dirt or a thing on the paper.
    const dirt = random.uniform() < 0.05 ? 0.6 : 1;
    const v = 0.7 * Math.exp(0.0008 * at[0]) * shade(at) * (1 + 0.004 * random.normal()) * dirt;
    return { at, light: [0.95 * v, v, 1.05 * v] };
  });
}

describe('the edge of a shadow over a sheet', () => {
  const chart = layout.chart!;
  const places = [0.1, 0.3, 0.5, 0.7, 0.9].flatMap((u) =>
    [0.15, 0.5, 0.85].map(
      (v): Point => [chart.at[0] + u * chart.widthMm, chart.at[1] + v * chart.heightMm],
    ),
  );
  const lit: Point = [100, 60];

  it.each([
    ['a straight edge', headOver([105 + 5000, 250], 5000, 4, 0.4)],
    ['a head, sharp', headOver([20, 300], 130, 2, 0.35)],
    ['a head, soft', headOver([190, 310], 110, 8, 0.25)],
  ])('%s is followed across the chart, where no paper shows it', (_, shade) => {
    const light = paperLight(paperUnder(shade), layout)!;
    expect(light.smooth.shadows.length).toBeGreaterThan(0);
    for (const place of places) {
      const truth = (Math.exp(0.0008 * (place[0] - lit[0])) * shade(place)) / shade(lit);
      const estimated = lightAgainst(light, layout, place, lit)[1];
      expect(Math.abs(estimated / truth - 1), String(place)).toBeLessThan(3 * WITHIN);
    }
    const misses = places.map((place) => {
      const truth = (Math.exp(0.0008 * (place[0] - lit[0])) * shade(place)) / shade(lit);
      return Math.abs(lightAgainst(light, layout, place, lit)[1] / truth - 1);
    });
    expect(misses.reduce((sum, m) => sum + m, 0) / misses.length).toBeLessThan(WITHIN);
  });

  it('none is seen where the light only falls off', () => {
    const light = paperLight(
      paperUnder(() => 1),
      layout,
    )!;
    expect(light.smooth.shadows).toEqual([]);
  });

  it('has an answer where the dark part is no shadow at all', () => {
    const places = barePaper(layout).map(([x, y]): Point => [x - 105, y - 148.5]);
    const rows = places.map(([x, y]) => [1, x / 105, y / 148.5]);
    const logs = places.map(([x, y]) => (x + y > 60 ? -60 : 0));
    expect(fallIn(1, -60)).toBeGreaterThan(-4);
    const found = shadowEdge({ places, rows, logs });
    expect(Number.isFinite(found.cost) && Math.abs(found.depth) < 4).toBe(true);
  });
});
