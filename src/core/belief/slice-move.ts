import type { Chance } from '../numeric/seeded-chance.ts';

/** A slice is narrowed at most this often; then the draw stays where it is. */
const NARROWINGS = 40;

/** A draw and the logarithm of its chance under what was seen. */
export interface WeighedDraw {
  readonly draw: Float64Array;
  readonly height: number;
}

/**
 * One step along a slice of the ellipse through a draw and a new one of the same normal law.
 * Holds:   many steps give draws of that law weighted by `judge`, exact but for chance
 * Source:  elliptical slices [Murray2010]
 */
export function sliceMove(
  { draw, height }: WeighedDraw,
  other: Float64Array,
  judge: (draw: Float64Array) => number,
  chance: Chance,
): WeighedDraw {
  const floor = height + Math.log(1 - chance.uniform());
  let angle = 2 * Math.PI * chance.uniform();
  let [low, high] = [angle - 2 * Math.PI, angle];
  for (let i = 0; i < NARROWINGS; i++) {
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const next = draw.map((v, k) => c * v + s * other[k]);
    const reached = judge(next);
    if (reached > floor) return { draw: next, height: reached };
    if (angle < 0) low = angle;
    else high = angle;
    angle = low + (high - low) * chance.uniform();
  }
  return { draw, height };
}
