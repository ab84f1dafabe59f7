import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from '../../../test/conformance/uniform.ts';
import { type PlaneView, type Point, pixelOf, placeInPlane, planeThrough } from './plane-view.ts';

const picture = { width: 4000, height: 3000 };
const grid: Point[] = [0, 60, 120, 180].flatMap((x) => [0, 90, 180, 270].map((y): Point => [x, y]));

const views = fc
  .record({
    scale: between(5, 15),
    turn: between(-Math.PI, Math.PI),
    px: between(-6e-4, 6e-4),
    py: between(-6e-4, 6e-4),
    bend: between(-0.04, 0.04),
  })
  .map(({ scale, turn, px, py, bend }): PlaneView => {
    const [c, s] = [scale * Math.cos(turn), scale * Math.sin(turn)];
    return {
      perspective: [c, -s, 2000 - 90 * c + 135 * s, s, c, 1500 - 90 * s - 135 * c, px, py, 1],
      middle: [2000, 1500],
      reach: 2000,
      bend,
    };
  });

describe('pixelOf and placeOf', () => {
  it('are inverse to each other within a thousandth of a pixel', () => {
    fc.assert(
      fc.property(views, fc.constantFrom(...grid), (view, place) => {
        const back = pixelOf(view, placeInPlane(view, pixelOf(view, place)));
        const there = pixelOf(view, place);
        expect(Math.hypot(back[0] - there[0], back[1] - there[1])).toBeLessThan(0.01);
      }),
    );
  });
});

describe('planeThrough', () => {
  it('finds the view again from exact pairs, bend and all', () => {
    fc.assert(
      fc.property(views, (view) => {
        const pixels = grid.map((place) => pixelOf(view, place));
        const fit = planeThrough(grid, pixels, picture, true);
        expect(fit).toBeDefined();
        // The prior that keeps the bend small pulls slightly.
        expect(fit!.missPx).toBeLessThan(0.05);
        expect(Math.abs(fit!.view.bend - view.bend)).toBeLessThan(0.004);
      }),
    );
  });

  it('gives the unit square mapped by hand', () => {
    // x' = 2x / (1 + x), y' = 2y / (1 + x): corners worked out on paper.
    const places: Point[] = [
      [0, 0],
      [1, 0],
      [1, 1],
      [0, 1],
    ];
    const pixels: Point[] = [
      [0, 0],
      [1, 0],
      [1, 1],
      [0, 2],
    ];
    const fit = planeThrough(places, pixels, picture);
    const [x, y] = pixelOf(fit!.view, [0.5, 0.5]);
    expect(x).toBeCloseTo(2 / 3, 5);
    expect(y).toBeCloseTo(2 / 3, 5);
  });

  it('has no answer for places on one line, or fewer than four', () => {
    const line: Point[] = [0, 1, 2, 3].map((x): Point => [x, 2 * x]);
    expect(planeThrough(line, grid.slice(0, 4), picture)).toBeUndefined();
    expect(planeThrough(grid.slice(0, 3), grid.slice(0, 3), picture)).toBeUndefined();
  });
});
