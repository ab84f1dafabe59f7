import { type Point, pixelOf } from '../../src/core/photo/plane-view.ts';
import type { Photographed } from './photograph.ts';

/** A place counts as a tile's within this share of its side from its middle. */
const WITHIN = 0.3;

/**
 * Which tiles on the table some places in a photo stand for.
 * Shape:   photo, places in pixels -> name of the tile or undefined, in order; each tile once
 */
export function matchPlaces(
  { scene, rendered: { view } }: Photographed,
  places: readonly Point[],
): readonly (string | undefined)[] {
  const left = new Map(
    scene.tiles.flatMap(({ place, at, sideMm }) => {
      if (at === undefined) return [];
      const middle = pixelOf(view, at);
      const beside = pixelOf(view, [at[0] + sideMm, at[1]]);
      const side = Math.hypot(beside[0] - middle[0], beside[1] - middle[1]);
      return [[place, { middle, side }] as const];
    }),
  );
  return places.map((at) => {
    const hit = [...left].find(
      ([, { middle, side }]) => Math.hypot(at[0] - middle[0], at[1] - middle[1]) < WITHIN * side,
    );
    if (hit !== undefined) left.delete(hit[0]);
    return hit?.[0];
  });
}
