/** X, Y, Z with Y of the perfect diffuser = 1. */
export type Xyz = readonly [number, number, number];

/** CIELAB L* 0-100, a*, b*. D50 and 2 degree unless the name beside it says otherwise. */
export type Lab = readonly [number, number, number];

/** CIELAB L* 0-100, C*, hue angle in degrees, 0 up to but not 360; 0 where C* is 0. */
export type Lch = readonly [number, number, number];

/** Three numbers, one of each axis or channel. */
export function triple(of: (axis: 0 | 1 | 2) => number): readonly [number, number, number] {
  return [of(0), of(1), of(2)];
}
